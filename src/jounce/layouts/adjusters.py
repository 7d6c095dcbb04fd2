"""What of a layout a garage sets: joints of the linkage by what they are set for, worded once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from jounce.layouts.naming import SideName, named

Aim = Literal["camber", "caster", "toe", "centre", "thrust"]


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
        sets: what it is set for: an angle of the wheel on its side, the axle in the middle of the car, or where it points
        joint: the joint, of each side for an angle, of the axle as a whole for the middle; a place across is positive to
            the left, one along the car positive forward, a rod's value is its length [m]; a shim's is by how much the angle
            grows [rad]
        name: what the trade calls the part that is moved
        part: key of the part in a change list that says how far it goes
        ends: what the names of a rod's two pivots of one side begin with; empty where it is no such rod
        also: joints of the same side that are moved by as much together with it
        sense: what its value grows by where the part gets longer by one [-]

    """

    sets: Aim
    joint: str
    name: str
    part: str
    ends: str = ""
    also: tuple[str, ...] = ()
    sense: float = 1.0

    def of_side(self, axle: str, side: SideName) -> tuple[str, ...]:
        """Full names of the joints of a side that are moved together.

        Args:
            axle: name of the axle
            side: which side
        """
        return tuple(named(axle, side, joint) for joint in (self.joint, *self.also))


TOE = Adjuster("toe", "tie_rod", "tie rod", "toe_rod", ends="tie_rod")
REAR_LATERAL_LINK = Adjuster("toe", "rear_lateral_link", "toe link", "toe_rod", ends="rear_link")
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
TRAILING_ARM = Adjuster("thrust", "arm_bush_fore", "trailing arm", "trailing_links", sense=-1.0)
"""An arm whose front end is threaded, or whose bush is moved in slots: longer by what the axle is pushed to the rear.

It counts square to the bush's soft axis. That a thread tilts with its arm is left out: 5 mm on an arm that tilts by
5 degrees are 0.02 mm less along the car.
"""
TRAILING_LINKS = Adjuster("thrust", "lower_link", "trailing link", "trailing_links", also=("upper_link",))
"""Lower and upper link of a side by as much, so that the axle's end keeps its slope."""
