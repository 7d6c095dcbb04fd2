"""The car before anything is done to it, in the numbers that wishes are measured against."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from jounce.car.file.document import CarDocument
from jounce.case.case import Case
from jounce.checks.rules import NO_RULES, RuleSet
from jounce.conventions.constants import GRAVITY
from jounce.job.document import JobDocument, JobIdentity
from jounce.job.plan import JobPlan
from jounce.layouts.naming import SIDES
from jounce.search.whole_car_check import numbers_of

__all__ = ["Today", "nothing_done", "today_of", "wheel_rates"]


@dataclass(frozen=True, slots=True)
class Today:
    """The car as it is.

    Attributes:
        numbers: by the names of `search.goals.METRICS`, NaN where one is not known [SI]
        rates: wheel rate of each axle, mean of both wheels, tyre left out [N/m]
        tyres: rate of the tyres of each axle, likewise [N/m]
        sinks: by how much each axle comes down at the most with people and luggage, on the rates that it has; none for an
            axle of which it is not known [m]
        least_free: how far the rubbers have to stay free then [m]
        room_below: how far the lowest point may come down then; infinite where it was not measured [m]

    """

    numbers: Mapping[str, float]
    rates: Mapping[str, float]
    tyres: Mapping[str, float]
    sinks: Mapping[str, float] = field(default_factory=dict)
    least_free: float = 0.0
    room_below: float = math.inf


def nothing_done(document: CarDocument, rules: RuleSet = NO_RULES) -> Case:
    """The car with a job that changes nothing.

    Args:
        document: the car as measured
        rules: the shop's own rules
    """
    return Case(document, JobDocument(job=JobIdentity(name="nothing done", car="in the book")), rules)


def today_of(case: Case) -> Today:
    """The numbers of a car with nothing done to it.

    Args:
        case: of `nothing_done`

    Raises:
        Impossible: it finds no rest
    """
    rates = wheel_rates(case.plan)
    with_tyre = {
        axle: _mean([wheel.ride_rate for wheel in case.plan.planned.axles[axle].wheels.values()]) for axle in rates
    }
    tyres = {axle: 1 / (1 / with_tyre[axle] - 1 / rates[axle]) for axle in rates}
    limits, ground = case.rules.limits, case.car.limits.ground_clearance
    room = math.inf if ground is None else ground.value - limits["least_laden_clearance"].value
    free = limits["least_free_laden"].value
    return Today(numbers_of(case.plan, case.drive), rates, tyres, _sinks(case, rates), free, room)


def _sinks(case: Case, rates: Mapping[str, float]) -> dict[str, float]:
    """By how much each axle comes down at the most with people and luggage, no rubber helping its springs [m].

    Rigid body on two axles: a mass ``m`` at ``x`` loads an axle by its lever, and its wheels go down by half of that over
    their rate. What a mass off the middle adds on its own side is taken from the car with the foremost place taken, which
    lifts no rubber yet, and goes with ``m·y``.
    """
    laden, stands = [one for one in case.drive.laden if one.travel is not None], case.plan.planned.sits.travel
    if not laden:
        return {}
    front, rear = (float(x) for x in case.drive.both.standing.acted.foot[0, ..., 0].mean(axis=1))
    first = laden[0]
    aside = sum(float(load.mass * load.at[1]) for load in first.loads)
    found: dict[str, float] = {}
    for k, (axle, other, own) in enumerate((("front", rear, front), ("rear", front, rear))):
        down = (
            [] if first.travel is None else [float(first.travel[k, j]) - stands[axle, s] for j, s in enumerate(SIDES)]
        )
        lean = abs(down[0] - down[1]) / 2 / abs(aside) if aside and down else 0.0
        for one in laden:
            force = GRAVITY * sum(float(load.mass * (load.at[0] - other)) for load in one.loads) / (own - other)
            off = lean * abs(sum(float(load.mass * load.at[1]) for load in one.loads))
            found[axle] = max(found.get(axle, 0.0), 0.5 * force / rates[axle] + off)
    return found


def wheel_rates(plan: JobPlan, *, planned: bool = True) -> dict[str, float]:
    """Wheel rate of each axle, mean of both wheels, tyre left out [N/m].

    Args:
        plan: what came out
        planned: as planned, else as found
    """
    state = plan.planned if planned else plan.found
    return {axle: _mean([wheel.wheel_rate for wheel in one.wheels.values()]) for axle, one in state.axles.items()}


def _mean(values: list[float]) -> float:
    return sum(values) / len(values)
