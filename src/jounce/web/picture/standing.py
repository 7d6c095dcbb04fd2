"""The axles of a car or of a plan where the car stands, ready for curves and picture."""

from __future__ import annotations

from functools import lru_cache

from jounce.behaviour.axle.motions import AxleStates
from jounce.case.case import Case
from jounce.job.plan import JobPlan
from jounce.web.case_cache import car_case
from jounce.web.charts.travel_curves import StandingAxle
from jounce.web.picture.motions import ShownCar

__all__ = ["as_found", "as_planned", "shown_as_found", "shown_as_planned"]


@lru_cache(maxsize=16)
def as_found(car_text: str) -> tuple[StandingAxle, ...]:
    """Both axles of a car as it was measured.

    Args:
        car_text: its document
    """
    return tuple(StandingAxle("as found", model, AxleStates()) for model in car_case(car_text).found.models)


def as_planned(plan: JobPlan) -> tuple[tuple[StandingAxle, ...], tuple[StandingAxle, ...]]:
    """Both axles of a plan, as found and as planned.

    Args:
        plan: what was worked out
    """
    pairs = (("as found", plan.found), ("as planned", plan.planned))
    found, planned = (
        tuple(StandingAxle(title, model, state.states[model.name]) for model in state.models) for title, state in pairs
    )
    return found, planned


def shown_as_found(car_text: str) -> ShownCar:
    """A car as it was measured, for the moving picture.

    Args:
        car_text: its document
    """
    found = car_case(car_text).found
    return ShownCar(as_found(car_text), found.car, found.document)


def shown_as_planned(case: Case) -> tuple[ShownCar, ShownCar]:
    """A job's car as found and as planned, for the moving picture.

    Args:
        case: what was worked out
    """
    found, planned = as_planned(case.plan)
    return (
        ShownCar(found, case.found.car, case.car),
        ShownCar(planned, case.planned.car, case.planned.document),
    )
