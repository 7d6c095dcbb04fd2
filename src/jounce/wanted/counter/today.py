"""The car before anything is done to it, in the numbers that wishes are measured against."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from jounce.car.file.document import CarDocument
from jounce.case.case import Case
from jounce.checks.rules import NO_RULES, RuleSet
from jounce.job.document import JobDocument, JobIdentity
from jounce.job.plan import JobPlan
from jounce.search.whole_car_check import numbers_of

__all__ = ["Today", "nothing_done", "today_of", "wheel_rates"]


@dataclass(frozen=True, slots=True)
class Today:
    """The car as it is.

    Attributes:
        numbers: by the names of `search.goals.METRICS`, NaN where one is not known [SI]
        rates: wheel rate of each axle, mean of both wheels, tyre left out [N/m]
        tyres: rate of the tyres of each axle, likewise [N/m]

    """

    numbers: Mapping[str, float]
    rates: Mapping[str, float]
    tyres: Mapping[str, float]


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
    return Today(numbers_of(case.plan, case.drive), rates, tyres)


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
