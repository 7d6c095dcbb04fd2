"""Where a wheel leaves the road: its lateral acceleration by turn and by braking or driving."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.on_road.acting import steady
from jounce.behaviour.on_road.equilibrium import at_rest
from jounce.behaviour.on_road.forces import Acted
from jounce.behaviour.on_road.met import Growing, met
from jounce.behaviour.on_road.road_car import RoadCar
from jounce.numerics.arrays import Array, IntArray

_SEARCHED = 14.0  # lateral acceleration up to which is looked [m/s²]


@dataclass(frozen=True, slots=True)
class Lift:
    """First wheel of an axle to leave the road.

    Attributes:
        ahead: longitudinal accelerations, shape (cases,) [m/s²]
        across: size of the lateral acceleration, NaN where no wheel lifts within what was searched, shape (cases,) [m/s²]

    """

    ahead: Array
    across: Array


def lift(car: RoadCar, axle: int, turn: float | Array, ahead: Array) -> Lift:
    """Lateral acceleration at which an axle's inside wheel lifts.

    Args:
        car: the car
        axle: 0 for the front, 1 for the rear
        turn: +1 for a left turn, -1 for a right one; for all cases or each its own
        ahead: longitudinal accelerations, shape (cases,) [m/s²]

    Returns:
        Not a number where none lifts up to 14 m/s², or where the car tips over before
    """
    turns, held = np.broadcast_arrays(np.asarray(turn, float), np.atleast_1d(np.asarray(ahead, float)))
    inside = np.where(turns > 0, 0, 1)

    def gap(now: Acted, _: Array, cases: IntArray) -> Array:
        return np.asarray(clearance(car, now)[np.arange(len(cases)), axle, inside[cases]])

    rest = at_rest(car, steady(0.0, held))
    every = np.arange(len(held))
    up = rest.reached & (gap(rest.acted, held, every) >= 0)
    across = np.where(up, 0.0, np.nan)
    cases = np.flatnonzero(rest.reached & ~up)
    if len(cases):
        none = np.zeros(len(cases))
        growing = Growing(turns[cases], none, none, held[cases])
        found = met(car, growing, lambda now, size, row: gap(now, size, cases[row]), rest.freedoms[cases], _SEARCHED)
        across[cases] = found
    return Lift(held, across)


def clearance(car: RoadCar, now: Acted) -> Array:
    """Height of each tyre above the ground, negative while it is pressed on it, shape (states, 2, 2) [m]."""
    height = now.centre[..., 2] - car.radius * np.sqrt(1 - now.axis[..., 2] ** 2) - now.ground
    return np.asarray(height - car.road_height - car.unloaded)
