"""Finite rotations, batched: never a small-angle value."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array, numbers

_SERIES_BELOW = 1e-4  # below this angle squared the series is exact to rounding and avoids 0/0


def rotation_matrix(rotation_vector: Array) -> Array:
    """Rotation matrix of a rotation vector (axis times angle).

    ``R = I + a K + b K²`` with ``a = sin(t)/t``, ``b = (1 - cos t)/t²`` and K the cross-product matrix.

    Args:
        rotation_vector: axis times angle, right-handed, shape (..., 3) [rad]

    Returns:
        Proper orthogonal matrices, shape (..., 3, 3) [-]

    Source: Rodrigues' rotation formula.

    >>> rotation_matrix(np.array([0.0, 0.0, np.pi / 2])).round(12) @ [1.0, 0.0, 0.0]
    array([0., 1., 0.])

    """
    vector = numbers(rotation_vector)
    squared = np.sum(vector * vector, axis=-1)[..., None, None]
    angle = np.sqrt(squared)
    small = squared.real < _SERIES_BELOW
    safe = np.where(small, 1.0, angle)
    a = np.where(small, 1 - squared / 6 + squared**2 / 120, np.sin(safe) / safe)
    b = np.where(small, 0.5 - squared / 24 + squared**2 / 720, (1 - np.cos(safe)) / safe**2)
    k = cross_matrix(vector)
    return np.asarray(np.eye(3) + a * k + b * (k @ k))


def cross_matrix(vector: Array) -> Array:
    """Matrix K with ``K w = vector x w``.

    Args:
        vector: left factor of the cross product, shape (..., 3) [any]

    Returns:
        Skew-symmetric matrices, shape (..., 3, 3) [any]

    """
    matrix = np.zeros((*vector.shape[:-1], 3, 3), vector.dtype)
    x, y, z = vector[..., 0], vector[..., 1], vector[..., 2]
    matrix[..., 0, 1], matrix[..., 0, 2], matrix[..., 1, 2] = -z, y, -x
    matrix[..., 1, 0], matrix[..., 2, 0], matrix[..., 2, 1] = z, -y, x
    return matrix


def cross(left: Array, right: Array) -> Array:
    """Cross product over the last axis; plain arithmetic, several times quicker than the general routine.

    Args:
        left: left factor, shape (..., 3) [any]
        right: right factor, broadcast against ``left``, shape (..., 3) [any]

    Returns:
        ``left x right``, shape (..., 3) [any]

    """
    lx, ly, lz = left[..., 0], left[..., 1], left[..., 2]
    rx, ry, rz = right[..., 0], right[..., 1], right[..., 2]
    ahead = ly * rz - lz * ry
    product = np.empty((*ahead.shape, 3), ahead.dtype)
    product[..., 0] = ahead
    product[..., 1] = lz * rx - lx * rz
    product[..., 2] = lx * ry - ly * rx
    return product
