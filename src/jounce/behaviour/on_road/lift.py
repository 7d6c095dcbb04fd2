"""Where a wheel leaves the road: its lateral acceleration by turn and by braking or driving."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.on_road.acting import steady
from jounce.behaviour.on_road.equilibrium import AtRest, at_rest
from jounce.behaviour.on_road.road_car import RoadCar
from jounce.numerics.arrays import Array

_SEARCHED = np.linspace(0.0, 14.0, 29)  # lateral accelerations looked at [m/s²]
_STEPS = 12
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
        bounds = (_SEARCHED[before], _SEARCHED[after], gap[cases, before], gap[cases, after])
        across[cases] = _between(car, axle, turn, ahead[cases], bounds, start)
    return Lift(ahead, across)


def clearance(car: RoadCar, rest: AtRest) -> Array:
    """Height of each tyre above the ground, negative while it is pressed on it, shape (states, 2, 2) [m]."""
    now = rest.acted
    height = now.centre[..., 2] - car.radius * np.sqrt(1 - now.axis[..., 2] ** 2) - now.ground
    return np.asarray(height - car.road_height - car.unloaded)


def _between(
    car: RoadCar, axle: int, turn: float, ahead: Array, bounds: tuple[Array, Array, Array, Array], start: Array
) -> Array:
    """The Illinois rule: secants that keep the answer between them."""
    low, high, below, above = (np.array(bound) for bound in bounds)
    side = 0 if turn > 0 else 1
    new = low
    for _ in range(_STEPS):
        new = low - below * (high - low) / (above - below)
        rest = at_rest(car, steady(turn * new, ahead), start)
        gap = clearance(car, rest)[:, axle, side]
        if np.abs(gap).max() < _FOUND:
            break
        up = gap > 0
        above, below = np.where(up, gap, 0.5 * above), np.where(up, 0.5 * below, gap)
        high, low = np.where(up, new, high), np.where(up, low, new)
    return new
