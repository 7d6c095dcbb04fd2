"""Lengths and unit vectors written so that they stay analytic: an imaginary perturbation passes through them."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross

X, Y, Z = np.eye(3)


def length(vector: Array) -> Array:
    """Length of vectors along the last axis, kept as an axis of one, shape (..., 1) [as given].

    Args:
        vector: shape (..., 3) [any]

    """
    return np.asarray(np.sqrt(np.sum(vector * vector, axis=-1, keepdims=True)))


def unit(vector: Array) -> Array:
    """Unit vector, shape (..., 3) [-].

    Args:
        vector: of any length, shape (..., 3) [any]

    """
    return np.asarray(vector / length(vector))


def perpendiculars(line: Array) -> tuple[Array, Array]:
    """Two unit vectors square to a line and to each other: the first as nearly fore-and-aft as it can be [-].

    For a line that itself runs nearly fore-and-aft, the first is as nearly upright as it can be.

    Args:
        line: the line, shape (3,) or (variants, 3) [m]

    """
    along = unit(line)
    guide = X if np.all(np.abs(along[..., 0].real) < 0.9) else Z
    first = unit(guide - np.sum(guide * along, axis=-1, keepdims=True) * along)
    return first, cross(along, first)
