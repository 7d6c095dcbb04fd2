"""A package on the whole car held at the heights wanted, by exact linkages: beside the search's quick way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.preload import preloads, spring_element
from jounce.behaviour.axle.static import axle_sits, with_main_springs
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.to_limit import both_turns
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES, AxleModel
from jounce.job.apply import planned_document
from jounce.layouts.naming import SIDES
from jounce.search.build import SearchSpace
from jounce.search.slots import Package
from jounce.search.whole_car_check import numbers_driven


def car_with(space: SearchSpace, package: Package) -> RoadCar:
    """The car with a package, its springs set so that it stands where the search has it.

    Args:
        space: what packages are made of
        package: parts by slot
    """
    document = planned_document(space.document, space.job(package))
    axles: list[AxleModel] = []
    settings: dict[str, float] = {}
    for k, name in enumerate(AXLES):
        model, own = axle_model(document, name), space.car.axles[k].settings
        settings |= own
        left, right = space.rest.travel[0, k]
        attitude = (float(space.rest.pitch[0]), float(space.rest.roll[0]))
        motions = wheel_motions(
            place_axle(model.stand, name, AxleStates(left=left, right=right, settings=own, attitude=attitude)), name
        )
        load = {side: np.array([space.rest.acted.load[0, k, i]]) for i, side in enumerate(SIDES)}
        found = preloads(model, motions, load)
        springs = {}
        for side in SIDES:
            spring = model.main[side]
            value = model.stand.taken([spring.measure]).values(motions.placed.pose)[:, 0]
            springs[side] = spring_element(spring, found[side], value)
        axles.append(with_main_springs(model, springs))
    car = car_of(document, axles[0], axles[1], settings)
    return replace(car, tyres=space.car.tyres, unloaded=space.car.unloaded, road_height=space.car.road_height)


def metrics_of(space: SearchSpace, package: Package) -> dict[str, float]:
    """Frequencies, roll gradient, load transfer and wheel lift of a package.

    Args:
        space: what packages are made of
        package: parts by slot

    Returns:
        By the names of `goals.METRICS`, those of travel left out [SI]
    """
    car = car_with(space, package)
    sits = []
    for k, on_body in enumerate(car.axles):
        left, right = space.rest.travel[0, k]
        attitude = (float(space.rest.pitch[0]), float(space.rest.roll[0]))
        states = AxleStates(left=left, right=right, settings=on_body.settings, attitude=attitude)
        sits.append(axle_sits(on_body.axle, states, look_for_slack=False))
    return numbers_driven(car, sits, both_turns(car))
