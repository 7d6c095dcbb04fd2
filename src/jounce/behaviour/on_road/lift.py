"""Where a wheel leaves the road: its lateral acceleration by turn and by braking or driving."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize.elementwise import find_root

from jounce.behaviour.on_road.acting import steady
from jounce.behaviour.on_road.equilibrium import AtRest, at_rest
from jounce.behaviour.on_road.road_car import RoadCar
from jounce.numerics.arrays import Array

_SEARCHED = np.linspace(0.0, 14.0, 15)  # lateral accelerations looked at [m/s²]
_CLOSE = 1e-5  # [m/s²]
_FOUND = 1e-7  # height of a tyre above the ground at which it lifts [m]


@dataclass(frozen=True, slots=True)
class Lift:
    """First wheel of an axle to leave the road.

    Attributes:
        ahead: longitudinal accelerations, shape (cases,) [m/s²]
        across: size of the lateral acceleration, NaN where no wheel lifts within what was searched, shape (cases,) [m/s²]

    """

    ahead: Array
    across: Array


def lift(car: RoadCar, axle: int, turn: float, ahead: Array) -> Lift:
    """Lateral acceleration at which an axle's inside wheel lifts.

    Args:
        car: the car
        axle: 0 for the front, 1 for the rear
        turn: +1 for a left turn, -1 for a right one
        ahead: longitudinal accelerations, shape (cases,) [m/s²]
    """
    ahead = np.atleast_1d(np.asarray(ahead, float))
    inside = 0 if turn > 0 else 1
    count = len(_SEARCHED)
    grid = at_rest(car, steady(turn * np.tile(_SEARCHED, len(ahead)), np.repeat(ahead, count)))
    gap = np.where(grid.reached, clearance(car, grid)[:, axle, inside], np.nan).reshape(len(ahead), count)
    up = gap > 0
    first = np.argmax(up, axis=1)
    found = up.any(axis=1)
    across = np.full(len(ahead), np.nan)
    across[found & (first == 0)] = 0.0
    cases = np.flatnonzero(found & (first > 0))
    if len(cases):
        before, after = first[cases] - 1, first[cases]
        start = grid.freedoms.reshape(len(ahead), count, -1)[cases, before]
        bounds = (_SEARCHED[before], _SEARCHED[after])
        across[cases] = _between(car, axle, turn, ahead[cases], bounds, start)
    return Lift(ahead, across)


def clearance(car: RoadCar, rest: AtRest) -> Array:
    """Height of each tyre above the ground, negative while it is pressed on it, shape (states, 2, 2) [m]."""
    now = rest.acted
    height = now.centre[..., 2] - car.radius * np.sqrt(1 - now.axis[..., 2] ** 2) - now.ground
    return np.asarray(height - car.road_height - car.unloaded)


def _between(car: RoadCar, axle: int, turn: float, ahead: Array, bounds: tuple[Array, Array], start: Array) -> Array:
    """Where the tyre just touches, between two lateral accelerations of every case."""
    side, near = 0 if turn > 0 else 1, start.copy()

    def gap(across: Array, case: Array) -> Array:
        cases = case.astype(int)
        rest = at_rest(car, steady(turn * across, ahead[cases]), near[cases])
        near[cases] = rest.freedoms  # the next one starts from here
        return clearance(car, rest)[:, axle, side]

    cases = np.arange(len(ahead), dtype=np.float64)
    return np.asarray(
        find_root(gap, bounds, args=(cases,), tolerances={"fatol": _FOUND, "xatol": _CLOSE, "xrtol": 0}).x
    )
