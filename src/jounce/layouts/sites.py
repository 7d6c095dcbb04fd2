"""Joints as places where a load is carried or a bush gives: what stands in for a joint's rows when it is compliant."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from jounce.linkage.measures import AnyMeasure, Bearing, Component
from jounce.linkage.tree import Direction, Point, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import perpendiculars, unit

SiteKind = Literal["ball", "line", "rod"]


@dataclass(frozen=True, slots=True)
class JointSite:
    """A joint between two bodies.

    ``rows`` are its joints in the mechanism (empty where a bush stands in), ``gives`` the measures along which a bush
    there gives: ``axial``, ``radial_1``, ``radial_2`` [m] and ``torsional``, ``conical_1``, ``conical_2`` [rad]; of a
    rod only ``axial``, its length. A row's load, and a bush's, acts with its sign on ``second`` towards ``first``.

    Attributes:
        name: name without axle and side, as the car file calls it
        title: full name
        kind: ball joint (holds a point), line (holds it square to an axis), rod (two points at a distance)
        first: body and point of one side of the joint
        second: body and point of the other
        rows: names of the joints in the mechanism
        gives: measures of a bush, by the way it gives

    """

    name: str
    title: str
    kind: SiteKind
    first: Point
    second: Point
    rows: tuple[str, ...]
    gives: dict[str, str]


def bush_measures(title: str, first: str, second: str, at: Array, axis: Array) -> dict[str, AnyMeasure]:
    """How far a bush gives: three displacements and three angles of the second body in the first one's frame.

    Args:
        title: full name of the joint, in front of each measure's name
        first: body that holds the bush's outer sleeve
        second: body on its inner sleeve
        at: centre of the bush as found, shape (3,) or (variants, 3) [m]
        axis: axis of the bush as found, any length, same shapes [-]

    """
    along = unit(axis)
    one, two = perpendiculars(axis)
    gap = Segment(Point(first, at), Point(second, at))
    return {
        f"{title}.axial": Component(gap, Direction(first, along)),
        f"{title}.radial_1": Component(gap, Direction(first, one)),
        f"{title}.radial_2": Component(gap, Direction(first, two)),
        f"{title}.torsional": Bearing(
            Direction(second, one), Direction(first, cross(along, one)), Direction(first, one)
        ),
        f"{title}.conical_1": Bearing(
            Direction(second, along), Direction(first, cross(one, along)), Direction(first, along)
        ),
        f"{title}.conical_2": Bearing(
            Direction(second, along), Direction(first, cross(two, along)), Direction(first, along)
        ),
    }
