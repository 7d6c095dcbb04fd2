"""Remarks on states whose wheels are past the end of their travel."""

from __future__ import annotations

from collections.abc import Sequence

from jounce.behaviour.road.beyond_stops import beyond_stops
from jounce.behaviour.road.road_car import RoadCar
from jounce.numerics.arrays import Array


def past_the_end(car: RoadCar, travel: Array, states: Sequence[str] = ()) -> list[str]:
    """A sentence for each wheel that is past a hard stop.

    Args:
        car: the car
        travel: wheel travels from as found, (states, front and rear, left and right) [m]
        states: how a sentence about each state begins; nothing for one that needs no name
    """
    told = []
    for one in beyond_stops(car, travel):
        first = int(one.where.argmax())
        when = f"{states[first]} the" if states else "The"
        told.append(
            f"{when} {one.axle} {one.side} wheel is past the end of its travel ({one.name}): what is told of that "
            "state is what its springs and rubbers alone would do."
        )
    return told
