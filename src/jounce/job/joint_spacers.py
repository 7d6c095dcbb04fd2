"""Joints that a spacer, or shims under the rack, set higher or lower: the pivot moves, the wheel stays where it was."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from jounce.car.axles.axle import Axle
from jounce.car.mechanics.model import AxleName
from jounce.conventions.axes import Side
from jounce.job.document import AxleChange

__all__ = [
    "AS_THEY_WERE",
    "BumpSetting",
    "JointHeights",
    "heights_of",
    "joints_raised",
    "side_with_spacers",
    "spacers_taken",
]

_PIVOTS = {"ball_joint_spacer": "ball_joint", "tie_rod_spacer": "tie_rod_outer", "rack": "tie_rod_inner"}
"""Pivot of each side that a part of the change list moves."""


@dataclass(frozen=True, slots=True)
class JointHeights:
    """How far joints of both sides are set from where they were [m].

    Attributes:
        ball_joint: lower ball joints lower, by spacers
        tie_rod: outer joints of the tie rods lower, by spacers
        rack: the rack higher, both ends alike
        shim: thickness of the shims under it, None where nobody told

    """

    ball_joint: float = 0.0
    tie_rod: float = 0.0
    rack: float = 0.0
    shim: float | None = None


@dataclass(frozen=True, slots=True)
class BumpSetting:
    """What gives an axle the bump steer wanted, mean of both wheels, toe-in growing with bump positive.

    Attributes:
        axle: "front" or "rear"
        part: what is set: the rack, or the outer joints of the tie rods
        wanted: bump steer asked for [rad/m]
        reached: what the planned car has of it; before the plan, that without the change [rad/m]
        needed: how much higher the rack, or lower the outer joints, would have to be than found [m]
        set: where that is set [m]
        slope: change of bump steer for that height [rad/m for 1 m]
        step: thickness of shims or spacers, 0 where any height can be set [m]
        at_end: whether an end of its range, or nothing that could be set, leaves the wish unmet

    """

    axle: AxleName
    part: str
    wanted: float
    reached: float
    needed: float
    set: float
    slope: float
    step: float
    at_end: bool


AS_THEY_WERE = JointHeights()
"""Joints that nothing sets elsewhere."""


def spacers_taken(axle: Axle) -> set[str]:
    """Which of these parts an axle takes: by its pivots, and a rack's height where it has a rack.

    Args:
        axle: its part of the car file
    """
    pivots = type(axle.side(Side.LEFT).pivots).model_fields
    taken = {key for key, pivot in _PIVOTS.items() if pivot in pivots}
    return taken if getattr(axle, "steering", None) is not None else taken - {"rack"}


def heights_of(change: AxleChange) -> JointHeights:
    """What a change list sets of joints' heights.

    Args:
        change: the parts exchanged on an axle
    """
    ball, rod, rack = change.ball_joint_spacer, change.tie_rod_spacer, change.rack
    return JointHeights(
        0.0 if ball is None else ball.height.value,
        0.0 if rod is None or rod.height is None else rod.height.value,
        0.0 if rack is None or rack.higher is None else rack.higher.value,
        None if rack is None or rack.shim is None else rack.shim.value,
    )


def joints_raised(change: AxleChange) -> Mapping[str, Any]:
    """How much higher each pivot gets, spacers lower it; one value, or one per variant [m].

    Args:
        change: the parts exchanged on an axle
    """
    ball, rod, rack = change.ball_joint_spacer, change.tie_rod_spacer, change.rack
    raised: dict[str, Any] = {}
    if ball is not None:
        raised[_PIVOTS["ball_joint_spacer"]] = -ball.height.value
    if rod is not None and rod.height is not None:
        raised[_PIVOTS["tie_rod_spacer"]] = -rod.height.value
    if rack is not None and rack.higher is not None:
        raised[_PIVOTS["rack"]] = rack.higher.value
    return raised


def side_with_spacers(side: Any, change: AxleChange) -> Any:
    """One side with its joints where spacers and rack put them; their ± stays that of the joints as measured.

    Args:
        side: as the car has it, pivots moved
        change: the parts exchanged on its axle
    """
    moved = {
        name: replace(point, z=point.z + by)
        for name, by in joints_raised(change).items()
        if (point := getattr(side.pivots, name, None)) is not None
    }
    return side.model_copy(update={"pivots": side.pivots.model_copy(update=moved)}) if moved else side
