"""Array types used throughout: every number inside the program is a float in SI, often one per state.

A design sensitivity is found by giving constants an imaginary part far too small to be felt by the real one and
letting it come through the calculation. Arrays that carry one are complex; they pass where an `Array` is asked for.
"""

from __future__ import annotations

from typing import cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
IntArray = NDArray[np.intp]
IndexArray = NDArray[np.uintp]
BoolArray = NDArray[np.bool_]

FLOAT = np.dtype(np.float64)
COMPLEX = np.dtype(np.complex128)


def numbers(value: ArrayLike) -> Array:
    """Anything that is a number or an array of numbers, as floats [as given]; complex where it has an imaginary part.

    >>> numbers(1), numbers(1 + 2j)
    (array(1.), array(1.+2.j))

    """
    array = np.asarray(value)
    return cast("Array", array if array.dtype in {FLOAT, COMPLEX} else array.astype(np.float64))


def common_dtype(*arrays: Array) -> np.dtype[np.float64]:
    """Complex where any array is, else float: compiled functions want all their arrays alike.

    Args:
        arrays: any arrays [any]

    """
    return cast("np.dtype[np.float64]", COMPLEX if any(array.dtype == COMPLEX for array in arrays) else FLOAT)


def ready(array: Array, dtype: np.dtype[np.float64]) -> Array:
    """The array as compiled functions want it: of this type, contiguous, writeable (itself where it is so already).

    Args:
        array: any array [any]
        dtype: float or complex

    Returns:
        The same numbers [as given]

    """
    if array.dtype == dtype and array.flags.carray:
        return array  # what `require` would find too, in many times the time
    return np.require(array, dtype, ["C", "W"])
