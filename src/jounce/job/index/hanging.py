"""Where the arm of a torsion bar hangs when nothing but its own bar holds it: what is set before loading."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.layouts.axle import AxleLinkage
from jounce.layouts.naming import SideName
from jounce.linkage.measures import CoordinateSum
from jounce.linkage.tree import Body
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import rotation_matrix


@dataclass(frozen=True, slots=True)
class HangingPoint:
    """A point of the arm that a bar springs, seen turning about the bar's line.

    ``name`` is what the point is in the words of the trade; ``arm`` the body that turns, ``at`` the point as found [m].
    """

    name: str
    arm: Body
    at: Array

    def rise(self, angle: Array | float) -> Array:
        """Height of the point above its place as found when the arm has turned by an angle, up positive [rad], in m."""
        turned = rotation_matrix(np.asarray(self.arm.axis) * np.atleast_1d(angle)[:, None])
        arm = self.at - np.asarray(self.arm.origin)
        return np.asarray((turned @ arm - arm)[:, 2])

    def over_pivots(self, angle: Array | float) -> Array:
        """Height of the point over the arm's pivot line, straight across from it, the arm turned by an angle [rad], in m.

        It can be read on stands, with a straight-edge along the two pivots, the body level from side to side.
        """
        axis = np.asarray(self.arm.axis)
        lever = self.at - np.asarray(self.arm.origin)
        across = lever - (lever * axis).sum(-1)[..., None] * axis
        risen = np.cross(axis, across)[..., 2]
        return np.atleast_1d(np.asarray(across[..., 2] * np.cos(angle) + risen * np.sin(angle)))

    @property
    def lever(self) -> float:
        """Distance of the point from the pivot line [m]."""
        axis = np.ravel(np.asarray(self.arm.axis))
        return float(np.linalg.norm(np.cross(axis, np.ravel(self.at - np.asarray(self.arm.origin)))))


def read_at(point: str) -> str:
    """Where a hanging arm's height is read, in words: a joint has a middle, a centre is one.

    Args:
        point: name of the point, as `HangingPoint` has it
    """
    return point if point.endswith("centre") else f"middle of the {point}"


def hanging_point(linkage: AxleLinkage, side: SideName) -> HangingPoint | None:
    """The point by which a sprung arm's height is measured: the wheel centre if the arm carries it, else its ball joint.

    Args:
        linkage: the axle, its arms turning on the car's body
        side: which side

    Returns:
        The point; None where the arm has no joint of its own with what it carries.
    """
    measure = linkage.measures[linkage.springs[side]]
    if not isinstance(measure, CoordinateSum):
        return None
    name = next(iter(measure.weights))
    arm = next(body for body in linkage.bodies if body.name == name)
    if linkage.carriers[side] == name:
        return HangingPoint("wheel centre", arm, np.asarray(linkage.wheels[side].centre.at))
    for site in linkage.sites.values():
        ends = {site.first.body: site.first, site.second.body: site.second}
        if site.kind == "ball" and name in ends and linkage.carriers[side] in ends:
            spoken = site.name.replace("_", " ").removesuffix(" joint") + " joint"
            return HangingPoint(spoken, arm, np.asarray(ends[name].at))
    return None
