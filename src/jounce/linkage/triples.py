"""Vectors of three numbers in compiled functions: taken from arrays, reckoned with, put back.

In an array the three numbers of a vector stand some way apart: as far as there are states side by side (see `states`).
"""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled_inline

Place = int | np.uintp
"""Where something is in a flat array, or a number of things; unsigned in compiled functions (see `states`)."""

Triple = tuple[float, float, float]


@compiled_inline
def three(array: Array, place: Place, apart: Place) -> Triple:
    """The vector whose first number is at a place."""
    return array[place], array[place + apart], array[place + apart + apart]


@compiled_inline
def fixed(constants: Array, variant: Place, number: Place, first: Place) -> Triple:
    """A vector of constants, shape (variants, numbers, …), from a first column on."""
    second = first + np.uintp(1)
    return (
        constants[variant, number, first],
        constants[variant, number, second],
        constants[variant, number, second + np.uintp(1)],
    )


@compiled_inline
def put_three(array: Array, place: Place, apart: Place, vector: Triple) -> None:
    """Write a vector."""
    array[place], array[place + apart], array[place + apart + apart] = vector


@compiled_inline
def dot(a: Triple, b: Triple) -> float:
    """``a . b``."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@compiled_inline
def cross(a: Triple, b: Triple) -> Triple:
    """``a x b``."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


@compiled_inline
def plus(a: Triple, b: Triple) -> Triple:
    """``a + b``."""
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


@compiled_inline
def minus(a: Triple, b: Triple) -> Triple:
    """``a - b``."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


@compiled_inline
def times(factor: float, a: Triple) -> Triple:
    """``factor a``."""
    return factor * a[0], factor * a[1], factor * a[2]
