"""A package on the whole car: every number of the search, read of a package worked out as a job."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jounce.behaviour.axle.static import StaticAxle
from jounce.behaviour.road.corner import cornering
from jounce.behaviour.road.equilibrium import rests_on
from jounce.behaviour.road.lift import TurnLimit
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.to_limit import BothTurns
from jounce.car.mechanics.model import AXLES
from jounce.car.mechanics.stops import RUBBER
from jounce.checks.driven import Driven
from jounce.checks.ends_of_travel import end_of_travel
from jounce.job.plan import JobPlan
from jounce.search.roll_curves import ACROSS_AT


def numbers_of(plan: JobPlan, drive: Driven) -> dict[str, float]:
    """Every number of a package that was worked out as a job, where the finished car stands.

    Args:
        plan: what came out
        drive: what the planned car does on the road

    Returns:
        By the names of `goals.METRICS`, NaN where one is not known [SI]
    """
    state = plan.planned
    told = numbers_driven(drive.car, [state.axles[name] for name in AXLES], drive.both)
    for name in AXLES:
        end = end_of_travel(state, name, "bump")
        rubber = next((met for met in state.stops[name] if met.name == RUBBER), None)
        told[f"{name}_bump"] = np.nan if end is None else end.travel
        told[f"{name}_free"] = np.nan if rubber is None else rubber.travel
    return told


def numbers_driven(car: RoadCar, sits: Sequence[StaticAxle], both: BothTurns) -> dict[str, float]:
    """Frequencies, roll gradient, load transfer and wheel lift of a car.

    Args:
        car: the car, its parts set
        sits: both axles where it stands
        both: how it turns left and right

    Returns:
        By the names of `goals.METRICS`, those of travel left out [SI]
    """
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
