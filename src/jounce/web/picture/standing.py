"""The axles of a car or of a plan where the car stands, ready for curves and picture."""

from __future__ import annotations

from functools import lru_cache

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.sits import loaded
from jounce.behaviour.road.of_document import car_of
from jounce.car.mechanics.assembly import axle_model
from jounce.job.on_road import car_in
from jounce.job.plan import Plan
from jounce.web.charts.travel_curves import Standing
from jounce.web.picture.motions import ShownCar
from jounce.web.worked import Worked, car_read

__all__ = ["as_found", "as_planned", "shown_as_found", "shown_as_planned"]


@lru_cache(maxsize=16)
def as_found(car_text: str) -> tuple[Standing, ...]:
    """Both axles of a car as it was measured.

    Args:
        car_text: its document
    """
    document = car_read(car_text)
    models = (loaded(axle_model(document, "front"))[0], loaded(axle_model(document, "rear"))[0])
    return tuple(Standing("as found", model, AxleStates()) for model in models)


def as_planned(plan: Plan) -> tuple[tuple[Standing, ...], tuple[Standing, ...]]:
    """Both axles of a plan, as found and as planned.

    Args:
        plan: what was worked out
    """
    pairs = (("as found", plan.found), ("as planned", plan.planned))
    found, planned = (
        tuple(Standing(title, model, state.states[model.name]) for model in state.models) for title, state in pairs
    )
    return found, planned


def shown_as_found(car_text: str) -> ShownCar:
    """A car as it was measured, for the moving picture.

    Args:
        car_text: its document
    """
    document, axles = car_read(car_text), as_found(car_text)
    front, rear = (one.model for one in axles)
    return ShownCar(axles, car_of(document, front, rear), document)


def shown_as_planned(worked: Worked) -> tuple[ShownCar, ShownCar]:
    """A job's car as found and as planned, for the moving picture.

    Args:
        worked: what was worked out
    """
    plan = worked.plan
    found, planned = as_planned(plan)
    return (
        ShownCar(found, car_in(worked.car, plan.found), worked.car),
        ShownCar(planned, car_in(worked.planned, plan.planned), worked.planned),
    )
