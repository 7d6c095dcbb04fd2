"""A package on the whole car: every number of the search, by exact linkages and one equilibrium of all.

`numbers_of` reads them of a package worked out as a job: this is what is told. `metrics_of` holds the car at the heights
wanted, where the quick way has it: the quick way is tested against it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle, wheel_motions
from jounce.behaviour.axle.preload import preloads, spring_element
from jounce.behaviour.axle.sits import AxleSits, axle_sits, with_main_springs
from jounce.behaviour.road.acting import steady
from jounce.behaviour.road.corner import cornering
from jounce.behaviour.road.equilibrium import rests_on
from jounce.behaviour.road.lift import TurnLimit
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.to_limit import BothTurns, both_turns
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES, AxleModel
from jounce.car.mechanics.stops import RUBBER
from jounce.checks.driven import Driven
from jounce.checks.ends_of_travel import end_of_travel
from jounce.job.apply import planned_document
from jounce.job.plan import Plan
from jounce.layouts.naming import SIDES
from jounce.search.build import SearchSpace
from jounce.search.roll_curves import ACROSS_AT
from jounce.search.slots import Package


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
    return _driven(car, sits, both_turns(car))


def numbers_of(plan: Plan, drive: Driven) -> dict[str, float]:
    """Every number of a package that was worked out as a job, where the finished car stands.

    Args:
        plan: what came out
        drive: what the planned car does on the road

    Returns:
        By the names of `goals.METRICS`, NaN where one is not known [SI]
    """
    state = plan.planned
    told = _driven(drive.car, [state.axles[name] for name in AXLES], drive.both)
    for name in AXLES:
        end = end_of_travel(state, name, "bump")
        rubber = next((met for met in state.stops[name] if met.name == RUBBER), None)
        told[f"{name}_bump"] = np.nan if end is None else end.travel
        told[f"{name}_free"] = np.nan if rubber is None else rubber.travel
    return told


def _driven(car: RoadCar, sits: Sequence[AxleSits], both: BothTurns) -> dict[str, float]:
    gentle, brisk = ACROSS_AT[1], ACROSS_AT[2]
    across = np.array([-brisk, -gentle, gentle, brisk])
    acting, standing, turns = steady(across), both.standing, both.turns
    ways = [turns.ways[0 if one > 0 else 1] for one in across]
    rests = rests_on(car, acting, ways, np.abs(across), np.repeat(standing.freedoms, len(across), axis=0))
    told = cornering(car, acting, rests, standing)
    roll = np.where(told.states.reached, told.roll, np.nan)
    share = np.where(told.states.reached, told.front_share, np.nan)
    front, rear = (np.mean([wheel.ride_frequency for wheel in axle.wheels.values()]) for axle in sits)
    return {
        "front_frequency": float(front),
        "rear_frequency": float(rear),
        "frequency_ratio": float(rear / front),
        "roll_gradient": float((roll[2] - roll[1]) / (2 * gentle)),
        "front_share": float(share[[0, 3]].mean()),
        "rear_lift": min(*(_stays_down(limit) for limit in turns.limits), ACROSS_AT[-1]),
    }


def _stays_down(limits: TurnLimit) -> float:
    """Lateral acceleration up to which the inside rear wheel stays on the road and the car on its wheels [m/s²].

    A car that tips over, jacks up or could not be followed before that wheel lifts goes no further than there.
    """
    return limits.farthest if limits.rear is None else limits.rear
