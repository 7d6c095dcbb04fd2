"""Every geometric quantity of an axle along a motion, in the car body's axes and SI."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.context import NOTHING_KNOWN, CarContext
from jounce.behaviour.axle.motions import MODES, AxleStates, MotionName, place_axle, steering_drive
from jounce.behaviour.axle.results import (
    axle,
    centres,
    elements,
    roll_centre,
    seat_tilt,
    steer_jacking,
    steering,
    steering_axis,
    wheel,
)
from jounce.behaviour.axle.results.column import Column, column_of
from jounce.behaviour.axle.results.reading import AxleKinematics
from jounce.conventions.errors import InputError
from jounce.layouts.axle import AxleLinkage
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.mechanism import Mechanism
from jounce.numerics.arrays import Array, BoolArray

__all__ = ["Column", "TravelTable", "column_map", "motion_states", "states_table", "travel_table"]

_OF_A_WHEEL: Mapping[str, Callable[[AxleKinematics, SideName], Mapping[str, Array]]] = {
    "wheel position": wheel.wheel_position,
    "wheel angles": wheel.wheel_angles,
    "bump gradients": wheel.bump_gradients,
    "roll gradients": wheel.roll_gradients,
    "steering axis": steering_axis.steering_axis_results,
    "wheels as they are steered": steering.steered_wheel,
    "instant centres": centres.instant_centres,
    "brake and drive support": centres.supports,
    "springs and dampers": elements.springs_and_dampers,
    "spring seats": seat_tilt.seat_tilt,
    "bars": elements.bars,
    "arms": elements.arms,
    "drive shafts": elements.drive_shafts,
}
_OF_THE_AXLE: Mapping[str, Callable[[AxleKinematics], Mapping[str, Array]]] = {
    "track": axle.track,
    "roll centre": roll_centre.roll_centre,
    "beam": axle.beam,
    "twist between the sides": axle.twists,
    "steering of the axle": steering.steering,
    "steer jacking": steer_jacking.steer_jacking,
}


@dataclass(frozen=True, slots=True)
class TravelTable:
    """Columns over a batch of states, which of them were reached and how far along their way the others came.

    ``reason`` says why the first state that was not reached was not, empty when all were.
    """

    columns: tuple[Column, ...]
    reached: BoolArray
    share: Array
    reason: str = ""


def motion_states(
    motion: MotionName, drive: Array, held: Mapping[str, float] | None = None, gear: str = "rack"
) -> AxleStates:
    """What an axle is given for a motion.

    Args:
        motion: heave, roll, left, right or steer
        drive: values of its drive [m; roll: rad; steer: m of rack or rad of pitman arm]
        held: values of other drives by name: heave, roll, left, right, rack, pitman [m or rad]
        gear: what steers the axle, "rack" or "pitman"

    Raises:
        InputError: drives that exclude each other

    """
    moving = gear if motion == "steer" else motion
    given: dict[str, Array | float] = {**(held or {}), moving: drive}
    for one, other in (("heave", "left"), ("heave", "right"), ("roll", "left"), ("roll", "right")):
        if one in given and other in given:
            raise InputError(
                "An axle is given heave and roll, or its two wheels' own travels, not both",
                found=f"{one} and {other}",
                todo="Leave one of them out.",
            )
    rack, pitman = given.get("rack", 0.0), given.get("pitman", 0.0)
    both = given.get("heave", 0.0)
    if "roll" in given:
        return AxleStates(roll=given["roll"], heave=both, rack=rack, pitman=pitman)
    return AxleStates(left=given.get("left", both), right=given.get("right", both), rack=rack, pitman=pitman)


def travel_table(
    stand: Mechanism,
    linkage: AxleLinkage,
    motion: MotionName,
    drive: Array,
    held: Mapping[str, float] | None = None,
    context: CarContext = NOTHING_KNOWN,
) -> TravelTable:
    """Follow a motion and take every quantity.

    Args:
        stand: the axle on its stand
        linkage: how it was laid out
        motion: heave, roll, left, right or steer
        drive: values of the motion's drive, shape (states,) [m; roll and pitman arm: rad]
        held: values of other drives, held along the motion [m or rad]
        context: what is known of the rest of the car

    Returns:
        The table; rows that were not reached hold NaN everywhere but in the drive.

    Raises:
        InputError: drives that exclude each other
    """
    gear = steering_drive(stand, linkage.axle) or "rack"
    table = states_table(stand, linkage, motion_states(motion, drive, held, gear), MODES[motion], context)
    driven = {"left": "left_drive", "right": "right_drive", "steer": gear}.get(motion, motion)
    return TravelTable((column_of(driven, drive), *table.columns), table.reached, table.share, table.reason)


def states_table(
    stand: Mechanism,
    linkage: AxleLinkage,
    states: AxleStates,
    mode: tuple[float, float],
    context: CarContext = NOTHING_KNOWN,
    groups: Collection[str] | None = None,
) -> TravelTable:
    """Take every quantity in any batch of states, without a drive column.

    Args:
        stand: the axle on its stand
        linkage: how it was laid out
        states: what the axle is given
        mode: rates of left and right wheel travel in which ratios and instant centres are taken [-]
        context: what is known of the rest of the car
        groups: groups of quantities to take; all if not given

    Returns:
        The table; rows that were not reached hold NaN.
    """
    placed = place_axle(stand, linkage.axle, states)
    reading = AxleKinematics(stand, linkage, states, placed, mode, context)

    def wanted(group: str) -> bool:
        return groups is None or group in groups

    values: dict[str, Array] = {}
    for side in SIDES:
        for group, of_wheel in _OF_A_WHEEL.items():
            if wanted(group):
                values |= {f"{side}_{name}": value for name, value in of_wheel(reading, side).items()}
    for group, of_axle in _OF_THE_AXLE.items():
        if wanted(group):
            values |= of_axle(reading)
    reached = placed.reached
    columns = tuple(column_of(name, np.where(reached, value, np.nan)) for name, value in values.items())
    reason = "" if reached.all() else placed.reason(int(np.argmin(reached)))
    return TravelTable(columns, reached, placed.share, reason)


def column_map(table: TravelTable) -> Mapping[str, Array]:
    """Columns by name, SI."""
    return {column.name: column.values for column in table.columns}
