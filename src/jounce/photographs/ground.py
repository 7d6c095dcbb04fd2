"""The ground: boards on the floor, tiles on wheels whose height was measured, and what the pointer's tip touched of it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np

from jounce.numerics.arrays import Array
from jounce.photographs.pointer import pointed
from jounce.photographs.solving import Net
from jounce.photographs.survey import GROUND, Survey

__all__ = [
    "FEWEST_FLOOR",
    "GroundPoint",
    "cameras_and_tiles",
    "ground_plane",
    "ground_points",
    "ground_up",
    "too_narrow",
]

FEWEST_FLOOR = 3
"""Points that tell the ground."""
_EVEN = 0.3e-3  # m: how even a floor is under a board, one standard deviation: common practice, no source
_NARROW = 0.1  # m: root mean square of the points along the ground, in the direction in which they lie closest
_ROUNDS = 30
_AT_REST = 1e-12  # rad
_ALIKE = 1.0  # square sums of misfits in deviations that differ by less are alike


@dataclass(frozen=True, slots=True)
class GroundPoint:
    """A point whose height over the ground is known.

    Attributes:
        place: in the axes of the net, shape (3,) [m]
        over: how high it is over the ground [m]
        deviation: of that, one standard deviation [m]
        slopes: how it moves with each tile's turning and centre, shape (3, tiles, 6) [m per rad, -]
        shared: how it moves with what is unsure of the pointer, shape (3, unsure) [m]

    """

    place: Array
    over: float
    deviation: float
    slopes: Array
    shared: Array


def ground_points(net: Net, survey: Survey) -> tuple[GroundPoint, ...]:
    """Points that tell the ground.

    Args:
        net: every tile where it is
        survey: what was stuck where
    """
    told = [_of_tile(net, tile, survey.over, _EVEN) for tile in survey.floor if tile in net.numbers]
    told += [_of_tile(net, one.tile, one.over, one.deviation) for one in survey.heights if one.tile in net.numbers]
    pointer = pointed(net, survey) if any(one.point == GROUND for one in survey.pointer) else None
    if pointer is not None and not pointer.why_not:
        told += [
            GroundPoint(one.place, 0.0, float(np.hypot(one.stand.deviation, _EVEN)), one.slopes, one.shared)
            for one in pointer.touches
            if one.stand.point == GROUND
        ]
    return tuple(told)


def _of_tile(net: Net, tile: int, over: float, deviation: float) -> GroundPoint:
    place = net.place(tile)
    slopes = np.zeros((3, len(net.numbers), 6))
    slopes[:, place, 3:] = np.eye(3)
    return GroundPoint(net.state.tile_centre[place], over, deviation, slopes, np.zeros((3, 0)))


def ground_up(places: Array, over: Array, deviations: Array, above: Array) -> Array:
    """The direction up from the plane under some points, shape (3,) [-]: by `ground_plane` from several starts.

    Where two planes fit alike, as above and below points of one height, it is the one that has nothing below it.

    Args:
        places: of the points, shape (points, 3) [m]
        over: height of each over the ground, shape (points,) [m]
        deviations: of these, one standard deviation each, shape (points,) [m]
        above: what lies over the ground, cameras and tiles, shape (n, 3) [m]
    """
    ways = np.linalg.svd(places - places.mean(axis=0))[2]
    found = []
    for way, sign in product((ways[2], ways[1], ways[0], ways[1] + ways[2]), (1.0, -1.0)):
        up, below = ground_plane(places, over, deviations, sign * way)
        misfit = float(np.sum((((places - below) @ up - over) / deviations) ** 2))
        found.append((misfit, float(((above - below) @ up).min()), up))
    least = min(one[0] for one in found)
    return max((one for one in found if one[0] <= least + _ALIKE), key=lambda one: one[1])[2]


def ground_plane(places: Array, over: Array, deviations: Array, near: Array) -> tuple[Array, Array]:
    """The plane under some points, by Newton's way from a direction near the true one.

    ``n · (p_i - m) + c = h_i`` with ``|n| = 1`` by least squares, m the middle of the points.

    Args:
        places: of the points, shape (points, 3) [m]
        over: height of each over the ground, shape (points,) [m]
        deviations: of these, one standard deviation each, shape (points,) [m]
        near: direction up, about, shape (3,) [-]

    Returns:
        Up, shape (3,) [-]; the point on the ground below the middle of the points, shape (3,) [m]
    """
    middle, weight = places.mean(axis=0), 1 / deviations
    arms, up, down = places - middle, near / np.linalg.norm(near), 0.0
    for _ in range(_ROUNDS):
        across = np.linalg.svd(up[None])[2][1:]
        rows = np.column_stack([arms @ across.T, np.ones(len(arms))]) * weight[:, None]
        step = np.linalg.lstsq(rows, (over - arms @ up) * weight, rcond=1e-9)[0]
        turn = step[:2] @ across
        up, down = up + turn / max(1.0, float(np.linalg.norm(turn))), float(step[2])
        up = up / np.linalg.norm(up)
        if np.abs(turn).max() < _AT_REST:
            break
    return up, middle - down * up


def too_narrow(places: Array, up: Array) -> bool:
    """Whether points of the ground lie nearly in a line, so that it may be tilted about it.

    Args:
        places: of the points, shape (points, 3) [m]
        up: direction up, shape (3,) [-]
    """
    arms = places - places.mean(axis=0)
    flat = arms - np.outer(arms @ up, up)
    return bool(np.linalg.svd(flat, compute_uv=False)[1] / np.sqrt(len(places)) < _NARROW)


def cameras_and_tiles(net: Net) -> Array:
    """What lies over the ground: every camera and every tile, shape (n, 3) [m].

    Args:
        net: every tile where it is
    """
    cameras = -np.einsum("pji,pj->pi", net.state.turned, net.state.shift)
    return np.concatenate([cameras, net.state.tile_centre])
