"""A package on the whole car: every number of the search, by exact linkages and one equilibrium of all."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jounce.behaviour.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.on_road.corner import corner
from jounce.behaviour.on_road.lift import lift
from jounce.behaviour.on_road.of_document import car_of
from jounce.behaviour.on_road.road_car import RoadCar
from jounce.behaviour.preload import preloads, spring_element
from jounce.behaviour.sits import axle_sits, with_main_springs
from jounce.car.assembly import axle_model
from jounce.car.model import AXLES, AxleModel
from jounce.job.apply import planned_document
from jounce.job.search.build import SearchSpace
from jounce.job.search.roll_curves import ACROSS_AT
from jounce.job.search.slots import Package
from jounce.layouts.naming import SIDES


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
        motions = wheel_motions(place_axle(model.stand, name, _standing(left, right, own)), name)
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
    gentle, brisk = ACROSS_AT[1], ACROSS_AT[2]
    told = corner(car, np.array([-brisk, -gentle, gentle, brisk]))
    lifts = [lift(car, 1, turn, np.zeros(1)).across[0] for turn in (1.0, -1.0)]
    frequency = []
    for k, on_body in enumerate(car.axles):
        left, right = space.rest.travel[0, k]
        sits = axle_sits(on_body.axle, _standing(left, right, on_body.settings), look_for_slack=False)
        frequency.append(np.mean([wheel.ride_frequency for wheel in sits.wheels.values()]))
    return {
        "front_frequency": float(frequency[0]),
        "rear_frequency": float(frequency[1]),
        "frequency_ratio": float(frequency[1] / frequency[0]),
        "roll_gradient": float((told.roll[2] - told.roll[1]) / (2 * gentle)),
        "front_share": float(told.front_share[[0, 3]].mean()),
        "rear_lift": float(min(np.nan_to_num(lifts, nan=np.inf).min(), ACROSS_AT[-1])),
    }


def _standing(left: float, right: float, settings: dict[str, float]) -> AxleStates:
    return AxleStates(left=left, right=right, settings=settings)
