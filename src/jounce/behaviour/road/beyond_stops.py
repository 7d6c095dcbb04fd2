"""Where a state at rest is past the hard end of a wheel's travel.

Rest is found with springs, bars and rubbers alone: metal on metal has no law. So a state beyond an end is told as such,
or a reader would take its heights for true.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import past
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.quantities import groups_of
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array, BoolArray


@dataclass(frozen=True, slots=True)
class BeyondStop:
    """A hard stop of one wheel, and which states are past it, shape (states,)."""

    axle: str
    side: SideName
    name: str
    where: BoolArray


def beyond_stops(car: RoadCar, travel: Array) -> list[BeyondStop]:
    """Every hard stop that some state is past.

    Args:
        car: the car
        travel: wheel travels from as found, (states, front and rear, left and right) [m]
    """
    found: list[BeyondStop] = []
    for number, on_body in enumerate(car.axles):
        axle = on_body.axle
        hard = [stop for stop in axle.stops if stop.hard]
        if not hard or not len(travel):
            continue
        at = AxleStates(left=travel[:, number, 0], right=travel[:, number, 1], settings=on_body.settings)
        groups = groups_of(stop.quantity for stop in hard)
        columns = column_map(states_table(axle.stand, axle.linkage, at, (1.0, 1.0), groups=groups))
        for side in SIDES:
            for stop in hard:
                if stop.side != side:
                    continue
                where = past(stop, columns) > 0
                if where.any():
                    found.append(BeyondStop(axle.name, side, stop.name, np.asarray(where)))
    return found
