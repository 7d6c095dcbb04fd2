"""Rods that are set by their lengths: how far others than the car's own go from where those are as found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.file.quantity import Measured
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.rod_lengths import length_of_rod, rod_joints
from jounce.car.parts.changed import SetRods, TrailingLinks
from jounce.job.document import AxleChange
from jounce.job.joint_spacers import side_with_spacers
from jounce.job.pivots_moved import moved_points, side_with_pivots
from jounce.layouts.naming import SIDES, SideName

__all__ = ["goes_from_found", "lengths_changed"]


def lengths_changed(axle: Axle, joint: str, change: AxleChange) -> Mapping[SideName, float]:
    """Length of a rod of each side as found, its pivots where a change moves them; none where they are not known [m].

    Args:
        axle: its part of the car file
        joint: as of `rod_joints`
        change: the parts exchanged on it
    """
    lengths: dict[SideName, float] = {}
    for name in SIDES:
        side = side_with_pivots(axle.side(SIDE_OF[name]), moved_points(change.pivots), SIDE_OF[name])
        length = length_of_rod(side_with_spacers(side, change), joint)
        if length is not None:
            lengths[name] = length
    return lengths


def goes_from_found(axle: Axle, part: str, rods: SetRods, change: AxleChange) -> tuple[float | None, float | None]:
    """How much longer and shorter than found rods of both sides go; None where nobody told [m].

    Of new rods these are their ends against the length of what they replace, on the side that has less of it; negative
    where every length that they have is shorter, or longer, than that.

    Args:
        axle: the car's own, as found
        part: key of the change list
        rods: what that says of them
        change: what moves pivots
    """
    if rods.shortest is None or rods.longest is None:
        longer, shorter = rods.longer, rods.shorter
        return (None if longer is None else longer.value), (None if shorter is None else shorter.value)
    most: list[float] = []
    least: list[float] = []
    joints = rod_joints(axle, part, getattr(rods, "link", ""))
    for joint, (shortest, longest) in zip(joints, _ends_of(rods), strict=False):
        for found in lengths_changed(axle, joint, change).values():
            most.append(longest - found)
            least.append(found - shortest)
    return (min(most), min(least)) if most else (None, None)


def _ends_of(rods: SetRods) -> Iterator[tuple[float, float]]:
    """Shortest and longest of the one link of a side, or of its lower and its upper one [m]."""
    if rods.shortest is None or rods.longest is None:
        return
    lower = _value(rods.shortest), _value(rods.longest)
    yield lower
    low, high = (rods.upper_shortest, rods.upper_longest) if isinstance(rods, TrailingLinks) else (None, None)
    yield lower if low is None or high is None else (_value(low), _value(high))


def _value(told: Measured) -> float:
    """What a document that stands for many says in its first: ends of a thread differ by less than anybody sets."""
    return float(np.ravel(np.real(told.value))[0])
