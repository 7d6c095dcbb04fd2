"""How long the rods of an axle are as found that others may replace: by the layout's joints, from the pivots measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.file.quantity import MeasuredPoint
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.layouts.adjusters import Adjuster
from jounce.layouts.naming import SIDES, SideName

__all__ = ["found_lengths", "length_of_rod", "rod_joints"]

_ENDS = (("_inner", "_outer"), ("_front", "_rear"))
"""What the names of a rod's two pivots end with."""
_OF_ARMS = {"arm_bush_fore": ("arm_bush", "tube_end")}
"""Joints that stand for an arm's length, with its two ends: the front bush, and the tube that it is on."""


def rod_joints(axle: Axle, part: str, link: str = "") -> tuple[str, ...]:
    """Rods of one side that a part of the change list sets together, by what their pivots' names begin with.

    Args:
        axle: its part of the car file
        part: key of the change list
        link: which link of the layout, where the part is one that names it

    Returns:
        One name, or two where a side has an upper and a lower one; none where the axle has no such part.
    """
    layout = axle.as_layout()
    if part in {"camber_link", "caster_link"}:
        return (link,) if link in layout.links else ()
    setter: Adjuster | None = next((one for one in layout.adjusters if one.part == part), None)
    return () if setter is None else (setter.ends or setter.joint, *setter.also)


def found_lengths(axle: Axle, joint: str) -> Mapping[SideName, float]:
    """Length of a rod of each side with the car as found; none where its ends are not known [m].

    Args:
        axle: its part of the car file
        joint: as of `rod_joints`
    """
    lengths = {name: length_of_rod(axle.side(SIDE_OF[name]), joint) for name in SIDES}
    return {name: length for name, length in lengths.items() if length is not None}


def length_of_rod(side: Any, joint: str) -> float | None:
    """Distance between a rod's joints, of an arm from its front bush to the tube; None where these are not known [m].

    Args:
        side: of the car file
        joint: as of `rod_joints`
    """
    ends = next(_pairs(side.pivots, joint), None)
    return None if ends is None else float(np.linalg.norm(_first(ends[0]) - _first(ends[1])))


def _first(point: MeasuredPoint) -> Any:
    """Of a document that stands for many the first: ends of a thread differ by less than anybody sets."""
    return np.asarray(np.real(point.xyz), dtype=float).reshape(-1, 3)[0]


def _pairs(pivots: Any, joint: str) -> Iterator[tuple[MeasuredPoint, MeasuredPoint]]:
    names = [_OF_ARMS[joint]] if joint in _OF_ARMS else [(f"{joint}{one}", f"{joint}{other}") for one, other in _ENDS]
    for pair in names:
        ends = [getattr(pivots, name, None) for name in pair]
        if isinstance(ends[0], MeasuredPoint) and isinstance(ends[1], MeasuredPoint):
            yield ends[0], ends[1]
