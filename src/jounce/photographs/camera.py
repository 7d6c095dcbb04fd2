"""The camera: where points before it come to lie in a photograph, with every derivative closed."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array

__all__ = ["LENS", "NO_BEND", "bent", "bent_with_slopes", "straightened"]

LENS = ("focal", "centre_u", "centre_v", "k1", "k2", "p1", "p2", "k3")
"""What the lens has: focal length and centre [px], radial k1, k2, k3 and decentring p1, p2 [-]."""

NO_BEND = np.zeros(5)
"""Of a lens that leaves straight lines straight: k1, k2, p1, p2, k3 [-]."""

_ROUNDS = 25


def bent(rays: Array, bend: Array) -> Array:
    """Where a lens puts rays, in focal lengths from its centre, shape (..., 2) [-].

    ``xd = x (1 + k1 r² + k2 r⁴ + k3 r⁶) + 2 p1 x y + p2 (r² + 2 x²)``, and y likewise.

    Args:
        rays: x and y at depth 1, shape (..., 2) [-]
        bend: k1, k2, p1, p2, k3, shape (5,) [-]

    Source: Brown, Close-Range Camera Calibration, Photogrammetric Engineering 37 (1971) 855, from memory;
        beside the general library's own in tests.
    """
    x, y = rays[..., 0], rays[..., 1]
    k1, k2, p1, p2, k3 = bend
    r2 = x * x + y * y
    radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3))
    return np.stack(
        [x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x), y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y],
        axis=-1,
    )


def bent_with_slopes(rays: Array, bend: Array) -> tuple[Array, Array, Array]:
    """Where a lens puts rays, with the slopes of that.

    Args:
        rays: x and y at depth 1, shape (..., 2) [-]
        bend: k1, k2, p1, p2, k3, shape (5,) [-]

    Returns:
        Place, shape (..., 2) [-]; slopes by the ray, shape (..., 2, 2) [-], and by the bend, shape (..., 2, 5) [-]
    """
    x, y = rays[..., 0], rays[..., 1]
    k1, k2, p1, p2, k3 = bend
    r2 = x * x + y * y
    radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3))
    steeper = k1 + r2 * (2 * k2 + 3 * r2 * k3)
    by_ray = np.empty((*x.shape, 2, 2))
    by_ray[..., 0, 0] = radial + 2 * x * x * steeper + 2 * p1 * y + 6 * p2 * x
    by_ray[..., 0, 1] = by_ray[..., 1, 0] = 2 * x * y * steeper + 2 * p1 * x + 2 * p2 * y
    by_ray[..., 1, 1] = radial + 2 * y * y * steeper + 6 * p1 * y + 2 * p2 * x
    by_bend = np.empty((*x.shape, 2, 5))
    by_bend[..., 0, :] = np.stack([x * r2, x * r2**2, 2 * x * y, r2 + 2 * x * x, x * r2**3], axis=-1)
    by_bend[..., 1, :] = np.stack([y * r2, y * r2**2, r2 + 2 * y * y, 2 * x * y, y * r2**3], axis=-1)
    return bent(rays, bend), by_ray, by_bend


def straightened(places: Array, bend: Array) -> Array:
    """Rays of places that a lens has bent, shape (..., 2) [-]: Newton's way, from the places themselves.

    Args:
        places: in focal lengths from the lens' centre, shape (..., 2) [-]
        bend: k1, k2, p1, p2, k3, shape (5,) [-]
    """
    rays = places
    for _ in range(_ROUNDS):
        here, by_ray, _ = bent_with_slopes(rays, bend)
        rays = rays + np.linalg.solve(by_ray, (places - here)[..., None])[..., 0]
    return rays
