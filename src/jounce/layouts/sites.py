"""Joints as places where a load is carried or a bush gives: what stands in for a joint's rows when it is compliant."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from jounce.layouts.naming import SideName
from jounce.linkage.measures import AnyMeasure, Bearing, Component, Distance
from jounce.linkage.tree import Direction, Point, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import perpendiculars, unit

SiteKind = Literal["ball", "line", "rod"]

RADIAL = ("radial_1", "radial_2")
TURNING = ("torsional", "conical_1", "conical_2")


@dataclass(frozen=True, slots=True)
class BushInput:
    """Which ways a joint's bush gives; what an ideal joint holds and the bush does not give stays held.

    Attributes:
        radial: it gives square to its axis
        axial: it gives along its axis (of a rod: along the rod)
        turning: it resists turning, about its axis or against tilting
        axis: its axis by side, where that is not the joint's own, shape (3,) or (variants, 3) [-]

    """

    radial: bool = False
    axial: bool = False
    turning: bool = False
    axis: Mapping[SideName, Array] | None = None


@dataclass(frozen=True, slots=True)
class JointSite:
    """A joint between two bodies.

    ``rows`` are its joints in the mechanism (what a bush releases is not among them), ``gives`` the measures along
    which a bush there gives: ``axial``, ``radial_1``, ``radial_2`` [m] and ``torsional``, ``conical_1``, ``conical_2``
    [rad]; of a rod only ``axial``, its length. A row's load, and a bush's, acts with its sign on ``second`` towards
    ``first``.

    Attributes:
        name: name without axle and side, as the car file calls it
        title: full name
        kind: ball joint (holds a point), line (holds it square to an axis), rod (two points at a distance)
        first: body and point of one side of the joint
        second: body and point of the other
        rows: names of the joints in the mechanism
        gives: measures of a bush, by the way it gives
        carries: those of ``gives`` that stand in for what an ideal joint holds: they carry its load as found
        shared: joints that it shares with the other side's

    """

    name: str
    title: str
    kind: SiteKind
    first: Point
    second: Point
    rows: tuple[str, ...]
    gives: Mapping[str, str] = field(default_factory=dict)
    carries: tuple[str, ...] = ()
    shared: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BushInPlace:
    """A joint with a bush: its site, the rows still held, the bush's measures and those of them that were released."""

    site: JointSite
    held: Mapping[str, AnyMeasure]
    measures: Mapping[str, AnyMeasure]
    released: tuple[str, ...]


def bush_in_place(
    ideal: JointSite, rows: Mapping[str, AnyMeasure], bush: BushInput, axis: Array | None, *, rubber_along: bool = True
) -> BushInPlace:
    """Put a bush in place of a joint: ways that it gives become measures, what it does not give stays held.

    Args:
        ideal: the joint as an ideal one
        rows: its joints in the mechanism
        bush: which ways the bush gives
        axis: its axis as found; None for a rod [-]
        rubber_along: whether rubber takes the load along the axis (not where a rod slides through)

    """
    if axis is None:
        along = {"axial": Distance(ideal.first, ideal.second)} if bush.axial else {}
        return _released(ideal, {} if bush.axial else rows, along, tuple(along), ideal.title)
    every = bush_measures(ideal.first.body, ideal.second, axis)
    holds = {"ball": ("axial", *RADIAL), "line": RADIAL}[ideal.kind]
    soft = (*(("axial",) if bush.axial and rubber_along else ()), *(RADIAL if bush.radial else ()))
    released = tuple(way for way in soft if way in holds)
    held = {f"{ideal.title}.{way}": every[way] for way in holds if way not in released} if released else rows
    ways = (*soft, *(TURNING if bush.turning else ()))
    return _released(ideal, held, {way: every[way] for way in ways}, released, ideal.title)


def _released(
    ideal: JointSite,
    held: Mapping[str, AnyMeasure],
    ways: Mapping[str, AnyMeasure],
    released: tuple[str, ...],
    title: str,
) -> BushInPlace:
    gives = {way: f"{title}.{way}" for way in ways}
    names = tuple(gives[way] for way in released)
    site = replace(ideal, rows=tuple(held), gives=gives, carries=released)
    return BushInPlace(site, held, {gives[way]: measure for way, measure in ways.items()}, names)


def bush_measures(first: str, second: Point, axis: Array) -> dict[str, AnyMeasure]:
    """How far a bush gives: three displacements and three angles of the second body in the first one's frame.

    Args:
        first: body that holds the bush's outer sleeve
        second: body on its inner sleeve and the bush's centre as found [m]
        axis: axis of the bush as found, any length, shape (3,) or (variants, 3) [-]

    """
    along = unit(axis)
    one, two = perpendiculars(axis)
    gap = Segment(Point(first, second.at), second)
    inner = second.body
    return {
        "axial": Component(gap, Direction(first, along)),
        "radial_1": Component(gap, Direction(first, one)),
        "radial_2": Component(gap, Direction(first, two)),
        "torsional": Bearing(Direction(inner, one), Direction(first, cross(along, one)), Direction(first, one)),
        "conical_1": Bearing(Direction(inner, along), Direction(first, cross(one, along)), Direction(first, along)),
        "conical_2": Bearing(Direction(inner, along), Direction(first, cross(two, along)), Direction(first, along)),
    }
