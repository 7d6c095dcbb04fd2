"""What of a layout a garage sets: joints of the linkage by what they are set for, worded once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Aim = Literal["camber", "caster", "toe", "centre"]


def is_shim(joint: str) -> bool:
    """Whether a joint is a shim's, whose value is an angle.

    Args:
        joint: its word, or its full name
    """
    return joint.rpartition(".")[2].startswith("shim_")


@dataclass(frozen=True, slots=True)
class Adjuster:
    """A joint whose value is set.

    Attributes:
        sets: what it is set for: an angle of the wheel on its side, or the axle in the middle of the car
        joint: the joint, of each side for an angle, of the axle as a whole for the middle; a place across is positive to
            the left, one along the car positive forward, a rod's value is its length [m]; a shim's is by how much the angle
            grows [rad]
        name: what the trade calls the part that is moved
        part: key of the part in a change list that says how far it goes; empty for a rod's own thread
        ends: what the names of a rod's two pivots of one side begin with; empty where it is no such rod

    """

    sets: Aim
    joint: str
    name: str
    part: str = ""
    ends: str = ""


TOE = Adjuster("toe", "tie_rod", "tie rod", ends="tie_rod")
REAR_LATERAL_LINK = Adjuster("toe", "rear_lateral_link", "toe link", ends="rear_link")
TOP_PLATE = (
    Adjuster("camber", "top_plate_y", "top plate", "top_plate"),
    Adjuster("caster", "top_plate_x", "top plate", "top_plate"),
)
UPPER_JOINT = (
    Adjuster("camber", "upper_ball_y", "upper joint", "upper_joint"),
    Adjuster("caster", "upper_ball_x", "upper joint", "upper_joint"),
)
"""The upper ball joint moved on its arm: in slots, or as eccentric bolts or shims at the arm's pivots move it."""
HUB_SHIM = (
    Adjuster("camber", "shim_camber", "hub shim", "shims"),
    Adjuster("toe", "shim_toe", "hub shim", "shims"),
)
"""A shim between the stub axle's flange and what carries it: on axles whose wheels nothing else sets."""
PANHARD_ROD = Adjuster("centre", "panhard", "Panhard rod", "panhard")
WATT_BRACKET = Adjuster("centre", "watt_bracket", "Watt linkage's bracket", "watt_bracket")
"""The bracket of the rocker's pivot, moved sideways; rods made longer on one side and shorter on the other do the same."""
