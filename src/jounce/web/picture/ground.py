"""How the body stands over the road, which is the fixed frame of the picture."""

from __future__ import annotations

import numpy as np

from jounce.behaviour.road.attitude import Attitude
from jounce.numerics.arrays import Array, BoolArray
from jounce.numerics.vectors import Z
from jounce.web.picture.scene import TENTHS

__all__ = ["Poses", "lowest_points", "poses_of", "sent", "standing_on"]

Poses = tuple[Array, Array, Array]
"""Heave [m], pitch (positive nose down) and roll (positive right side down) [rad], one of each per frame."""
_ANGLE = 1e6
"""Whole parts of a radian that an angle is sent in."""


def lowest_points(centre: Array, axis: Array, radius: Array) -> Array:
    """Lowest points of wheels, as circles, towards the body's downward axis, shape (frames, wheels, 3) [m].

    Args:
        centre: wheel centres, shape (frames, wheels, 3) [m]
        axis: unit axes, same shape [-]
        radius: loaded radii, shape (wheels,) [m]
    """
    down = axis * axis[..., 2:] - Z
    return np.asarray(centre + radius[:, None] * down / np.linalg.norm(down, axis=-1, keepdims=True))


def standing_on(points: Array) -> Poses:
    """The pose of a body whose points stand on a level road: least squares where they are more than three.

    In the body's axes the road is ``z = a + b x + c y``; its normal is what the attitude turns upright.

    Args:
        points: what touches the road, body axes, shape (frames, points, 3) [m]
    """
    flat = np.concatenate((np.ones_like(points[..., :1]), points[..., :2]), axis=-1)
    plane = np.einsum("nij,nj->ni", np.linalg.pinv(flat), points[..., 2])
    normal = np.stack((-plane[:, 1], -plane[:, 2], np.ones(len(plane))), axis=-1)
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    return -normal[:, 2] * plane[:, 0], -np.arcsin(normal[:, 0]), np.arctan2(normal[:, 1], normal[:, 2])


def poses_of(body: Attitude) -> Poses:
    """The poses of an attitude.

    Args:
        body: how a body stands over the road
    """
    third = body.rotation[:, 2]
    return body.heave, -np.arcsin(third[:, 0]), np.arctan2(third[:, 1], third[:, 2])


def sent(poses: Poses, there: BoolArray) -> list[list[int] | None]:
    """Poses as they are sent: tenths of a millimetre and millionths of a radian; None where there is no frame.

    Args:
        poses: one per frame
        there: which frames there are
    """
    rows = np.stack((poses[0] * TENTHS, poses[1] * _ANGLE, poses[2] * _ANGLE), axis=-1)
    return [np.round(row).astype(int).tolist() if ok else None for row, ok in zip(rows, there, strict=True)]
