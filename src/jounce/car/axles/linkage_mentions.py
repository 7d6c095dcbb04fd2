"""Every place in the lists of an axle that speaks of a point or a body by name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from jounce.layouts.custom_axle import (
    AxleSpec,
    Ball,
    BodySpec,
    Hanging,
    HowJoined,
    InTheMiddle,
    Line,
    NotTurning,
    OnBody,
    OnLine,
    Rod,
    Through,
    Turning,
    bodies_of,
)

__all__ = ["Mention", "PointPair", "mentions", "pairs_apart"]

Kind = Literal["point", "body", "hanger"]


@dataclass(frozen=True, slots=True)
class Mention:
    """A name in the lists.

    Attributes:
        place: key that speaks of it, below the axle
        kind: a point, a body, or a body that something hangs on (which the steering gear's are not)
        word: the name
        shared: whether it is said for the whole axle, not for each side

    """

    place: str
    kind: Kind
    word: str
    shared: bool


@dataclass(frozen=True, slots=True)
class PointPair:
    """Two points that have to lie apart, and the entry that speaks of them."""

    place: str
    points: tuple[str, str]
    shared: bool


def mentions(told: AxleSpec) -> Iterator[Mention]:
    """All names of points and bodies in the lists, in their order.

    Args:
        told: the lists

    """
    for body in told.bodies:
        place = f"bodies.{body.name}"
        for kind, word in _of_body(body):
            yield Mention(place, kind, word, body.shared)
    for joint in told.joints:
        for kind, word in _of_joint(joint.how):
            yield Mention(f"joints.{joint.name}", kind, word, joint.shared)
    for key, ends in _hanging(told.hanging):
        for end in ends:
            yield Mention(f"arrangement.{key}", "point", end.point, shared=False)
            yield Mention(f"arrangement.{key}", "hanger", end.body, shared=False)
    if told.hanging.torsion_bar is not None:
        yield Mention("arrangement.torsion_bar", "hanger", told.hanging.torsion_bar, shared=False)
    yield Mention("arrangement.roll_bars_on", "hanger", told.hanging.roll_bars_on, shared=True)


def pairs_apart(told: AxleSpec) -> Iterator[PointPair]:
    """Pairs of points that have to lie apart: the ends of every part and line.

    Args:
        told: the lists

    """
    for body in told.bodies:
        if body.moves is not None and isinstance(body.moves.line, Through):
            line = body.moves.line
            yield PointPair(f"bodies.{body.name}", (line.start, line.end), body.shared)
    for joint in told.joints:
        how = joint.how
        if isinstance(how, Rod):
            yield PointPair(f"joints.{joint.name}", (how.ends[0].point, how.ends[1].point), joint.shared)
        elif isinstance(how, OnLine | NotTurning) and isinstance(how.line, Through):
            yield PointPair(f"joints.{joint.name}", (how.line.start, how.line.end), joint.shared)
    for key, ends in _hanging(told.hanging):
        yield PointPair(f"arrangement.{key}", (ends[0].point, ends[1].point), shared=False)


def _hanging(hanging: Hanging) -> Iterator[tuple[str, tuple[OnBody, OnBody]]]:
    yield "damper", hanging.damper
    for key, ends in (("spring", hanging.spring), ("steering_axis", hanging.steering_axis)):
        if ends is not None:
            yield key, ends


def _of_body(body: BodySpec) -> Iterator[tuple[Kind, str]]:
    if body.moves is None:
        return
    yield "body", body.moves.on
    yield from _of_line(body.moves.line)
    if isinstance(body.moves, Turning):
        yield "point", body.moves.tip


def _of_joint(how: HowJoined) -> Iterator[tuple[Kind, str]]:
    match how:
        case Ball():
            yield "point", how.at
        case Rod():
            for end in how.ends:
                yield "point", end.point
        case OnLine():
            yield "point", how.point.point
            yield from _of_line(how.line)
        case InTheMiddle():
            yield "point", how.point.point
        case NotTurning():
            yield from _of_line(how.line)
    for word in bodies_of(how):
        yield "body", word


def _of_line(line: Line) -> Iterator[tuple[Kind, str]]:
    if isinstance(line, Through):
        yield "point", line.start
        yield "point", line.end
