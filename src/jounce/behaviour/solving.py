"""Systems of equations of a car's forces and motions: where they have no single answer, that is said in words."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from jounce.conventions.errors import Impossible

__all__ = ["NO_ANSWER", "inverted", "solved"]

NO_ANSWER = (
    "Here the car has no single answer: two wheels, springs or links do the same, or one does nothing, as at a dead point. "
    "Measure the pivots again, or ask for a smaller change."
)


def solved(matrix: NDArray[Any], right: NDArray[Any]) -> NDArray[Any]:
    """The solution of linear equations.

    Args:
        matrix: shape (..., n, n) [as given]
        right: shape (..., n, k), or (n,) [as given]

    Raises:
        Impossible: there is none, or more than one
    """
    try:
        return np.asarray(np.linalg.solve(matrix, right))
    except np.linalg.LinAlgError:
        raise Impossible(NO_ANSWER) from None


def inverted(matrix: NDArray[Any]) -> NDArray[Any]:
    """The inverse of a matrix.

    Args:
        matrix: shape (..., n, n) [as given]

    Raises:
        Impossible: it has none
    """
    try:
        return np.asarray(np.linalg.inv(matrix))
    except np.linalg.LinAlgError:
        raise Impossible(NO_ANSWER) from None
