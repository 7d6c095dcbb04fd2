"""The car as it was measured, of any layout, in the form in which a plan tells its states."""

from __future__ import annotations

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import stops_met
from jounce.behaviour.axle.sits import axle_sits, loaded
from jounce.behaviour.axle.travel import states_table
from jounce.behaviour.whole_car import car_on_tyres, settle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES
from jounce.job.plan import CarState

__all__ = ["state_as_found"]


def state_as_found(document: CarDocument) -> CarState:
    """Both axles loaded as weighed, with geometry and stops from there.

    Args:
        document: the car

    Raises:
        Impossible: the car finds no rest
    """
    front, rear = (loaded(axle_model(document, axle))[0] for axle in AXLES)
    models = (front, rear)
    car = car_on_tyres(front, rear, document.mass.centre_of_gravity_height.value)
    states: dict[str, AxleStates] = {model.name: AxleStates(settings={}) for model in models}
    return CarState(
        models,
        settle(car, {**front.elements, **rear.elements}),
        {model.name: axle_sits(model, states[model.name]) for model in models},
        {m.name: states_table(m.stand, m.linkage, states[m.name], (1.0, 1.0)) for m in models},
        {model.name: stops_met(model) for model in models},
        states,
    )
