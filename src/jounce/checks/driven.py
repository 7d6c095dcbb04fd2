"""What the planned car does on the road, worked out once for all checks that ask for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.reach import StopContact, stops_met
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.locking import Locking, locking
from jounce.behaviour.road.of_document import aboard
from jounce.behaviour.road.road_car import Load, RoadCar
from jounce.behaviour.road.to_limit import BothTurns, ToLimit, both_turns, to_limits
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.stops import RUBBER
from jounce.job.on_road import CarInState, car_in
from jounce.job.plan import JobPlan
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class Laden:
    """The car with people and luggage, standing.

    Attributes:
        loads: what is aboard besides what was weighed
        travel: wheel travels from as found, (front, rear) x (left, right) [m]; None where it finds no rest
        stops: what the wheels of each axle meet in bump from there, by axle
        freedoms: heave, pitch, roll of the body and the four travels [m, rad]; None where it finds no rest

    """

    loads: tuple[Load, ...]
    travel: Array | None
    stops: Mapping[str, tuple[StopContact, ...]]
    freedoms: Array | None = None


@dataclass(frozen=True, slots=True)
class Driven:
    """The planned car on its road.

    Attributes:
        car: the car
        brisk: lateral acceleration at which grip is looked at besides the limit [m/s²]
        both: standing, and both turns followed from there
        turns: left and right turn to their ends
        locking: which axle locks first
        laden: with more and more aboard

    """

    car: RoadCar
    brisk: float
    both: BothTurns
    turns: tuple[ToLimit, ToLimit]
    locking: Locking
    laden: tuple[Laden, ...]

    def knows_rubbers(self, axle: str) -> bool:
        """Whether it is known where an axle's bump rubbers touch.

        Args:
            axle: "front" or "rear"
        """
        model = next(on_body.axle for on_body in self.car.axles if on_body.axle.name == axle)
        return any(stop.name == RUBBER for stop in model.stops)


def driven(document: CarDocument, plan: JobPlan, brisk: float, state: CarInState | None = None) -> Driven:
    """Drive the planned car.

    Args:
        document: the planned car's document
        plan: what came out
        brisk: lateral acceleration at which grip is looked at besides the limit [m/s²]
        state: the planned car on its road, where what was worked out of it is kept
    """
    car, both = _both(document, plan) if state is None else (state.road, state.followed.both)
    laden = tuple(_laden(car, loads, both.standing.freedoms) for loads in _more_and_more(document))
    return Driven(car, brisk, both, to_limits(car, brisk, both), locking(car), laden)


def _both(document: CarDocument, plan: JobPlan) -> tuple[RoadCar, BothTurns]:
    """The planned car, and its turns alone: a quarter quicker than with braking in them."""
    car = car_in(document, plan.planned)
    return car, both_turns(car)


def _more_and_more(document: CarDocument) -> list[tuple[Load, ...]]:
    """What comes aboard, the foremost place first: that alone, all but the hindmost, all."""
    loads = [load for load in aboard(document, dict.fromkeys(document.places)) if load.mass > 0]
    loads.sort(key=lambda load: -float(load.at[0]))
    return [tuple(loads[:count]) for count in sorted({1, len(loads) - 1, len(loads)}) if 0 < count <= len(loads)]


def _laden(car: RoadCar, loads: tuple[Load, ...], start: Array) -> Laden:
    rest = at_rest(car.with_loads(loads), steady(), start)
    if not rest.reached[0]:
        return Laden(loads, None, {})
    travel = np.asarray(rest.travel[0])
    stops: dict[str, tuple[StopContact, ...]] = {
        on_body.axle.name: stops_met(
            on_body.axle, (float(travel[k, 0]), float(travel[k, 1])), on_body.settings, ways=("bump",)
        )
        for k, on_body in enumerate(car.axles)
    }
    return Laden(loads, travel, stops, np.asarray(rest.freedoms[0]))
