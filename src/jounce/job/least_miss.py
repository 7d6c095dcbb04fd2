"""Least squares of a smooth function whose unknowns have ends."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array

__all__ = ["LeastMiss", "least_miss_within"]

_ROUNDS = 12  # each squares what is left where the function is nearly straight


@dataclass(frozen=True, slots=True)
class LeastMiss:
    """Where misses are least.

    Attributes:
        at: the unknowns, shape (unknowns,)
        miss: what is missed there, shape (misses,)
        slopes: of each miss by each unknown, shape (misses, unknowns)

    """

    at: Array
    miss: Array
    slopes: Array

    def about(self, other: Array) -> float:
        """The sum of squares of the misses elsewhere, by the slopes.

        Args:
            other: unknowns nearby, shape (unknowns,)
        """
        return float(np.sum((self.miss + self.slopes @ (other - self.at)) ** 2))


def least_miss_within(
    misses: Callable[[Array], Array], start: Array, ends: tuple[Array, Array], step: float, close: float
) -> LeastMiss:
    """Gauss and Newton's method, each step a linear least-squares problem within the ends.

    Args:
        misses: what is missed, shape (misses,), for unknowns of shape (unknowns,)
        start: unknowns to begin with; put within the ends
        ends: the least and the most of each unknown, shape (unknowns,) each; infinite where there is none
        step: of every unknown, for the slopes
        close: a step no longer than this is the last

    Source: A. Björck, Numerical Methods for Least Squares Problems (SIAM 1996), sections 9.2 (Gauss-Newton) and 5.2
    (variables with bounds).
    """
    from scipy.optimize import lsq_linear  # slow to import, and few jobs ask for it

    low, high = ends
    at = np.clip(start, low, high)
    miss = misses(at)
    slopes = _slopes(misses, at, miss, step)
    for _ in range(_ROUNDS):
        free = high > low
        way = np.zeros(len(at))
        if free.any():
            way[free] = lsq_linear(slopes[:, free], -miss, (low[free] - at[free], high[free] - at[free]), "bvls").x
        at = np.clip(at + way, low, high)
        miss = misses(at)
        if np.abs(way).max(initial=0.0) <= close:
            break
        slopes = _slopes(misses, at, miss, step)
    return LeastMiss(at, miss, slopes)


def _slopes(misses: Callable[[Array], Array], at: Array, miss: Array, step: float) -> Array:
    """Differences over one step: where misses are near zero their error is of no account, else the next round's."""
    return np.stack([(misses(at + step * one) - miss) / step for one in np.eye(len(at))], -1)
