"""How far steering lifts the body: the contact points' way down when both main springs keep their length."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, SteeringDrive, place_axle
from jounce.behaviour.axle.results.reading import AxleKinematics
from jounce.layouts.naming import SIDES, named
from jounce.linkage.place import place
from jounce.numerics.arrays import Array


def steer_jacking(reading: AxleKinematics) -> Mapping[str, Array]:
    """Way of each contact point down in the body, square to the road, from the gear's middle, and their mean [m].

    NaN where the linkage does not reach.
    """
    if reading.gear is None or set(SIDES) - set(reading.linkage.springs):
        return {}
    drive = reading.value(reading.gear)
    ways = _ways_down(reading, reading.gear, drive) if np.any(drive.real) else np.zeros((*drive.shape, 2))
    by_wheel = {f"{side}_wheel_steer_jacking": ways[:, i] for i, side in enumerate(SIDES)}
    return {**by_wheel, "steer_jacking": np.asarray(ways.mean(axis=1))}


def _ways_down(reading: AxleKinematics, gear: SteeringDrive, drive: Array) -> Array:
    straight = place_axle(reading.stand, reading.axle, replace(reading.states, rack=0.0, pitman=0.0))
    heights = [named(reading.axle, side, "road_height") for side in SIDES]
    springs = [reading.linkage.springs[side] for side in SIDES]
    before = reading.stand.taken((*heights, *springs)).values(straight.pose)
    drives: dict[str, Array | float] = dict(reading.states.settings or {})
    drives |= _tilted_road(reading.axle, reading.states)
    drives[named(reading.axle, gear)] = drive
    drives |= {spring: before[:, 2 + i] for i, spring in enumerate(springs)}
    steered = place(reading.stand, drives)
    after = reading.stand.taken(heights).values(steered.pose)
    reached = (straight.reached & steered.reached)[:, None]
    return np.where(reached, before[:, :2] - after, np.nan)


def _tilted_road(axle: str, states: AxleStates) -> dict[str, Array | float]:
    return {} if states.roll is None else {named(axle, "roll"): states.roll}
