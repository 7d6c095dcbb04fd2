"""The planned car on its road."""

from __future__ import annotations

from jounce.behaviour.on_road.of_document import car_of
from jounce.behaviour.on_road.road_car import RoadCar
from jounce.car.document import CarDocument
from jounce.job.plan import CarState


def car_in(document: CarDocument, state: CarState) -> RoadCar:
    """The car of a plan, as found or as planned.

    Args:
        document: the car with the parts of that state
        state: its axles and where they stand
    """
    settings: dict[str, float] = {}
    for states in state.states.values():
        settings |= {name: float(value) for name, value in (states.settings or {}).items()}
    return car_of(document, *state.models, settings)
