"""The plain lists that an axle may be told in: bodies, joints between them, what hangs on them, all by name.

What is told of one side is told of the other as well. A *shared* body or joint is there once for the whole axle; it
speaks of a side's own points and bodies as ``left.name`` and ``right.name``. The words ``body`` (the car's), ``rack``
and ``relay_rod`` (the steering gear's) are there without being told.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from jounce.layouts.builder import BODY
from jounce.layouts.naming import SideName

RACK = "rack"
"""Word for the rack, which slides across the car; the drive ``rack`` moves it."""

RELAY_ROD = "relay_rod"
"""Word for the relay rod of a steering box."""

GIVEN_BODIES = (BODY, RACK, RELAY_ROD)
POINTS = "points"
"""Section of the points that belong to the axle as a whole."""


@dataclass(frozen=True, slots=True)
class OnBody:
    """A named point of a named body."""

    point: str
    body: str


@dataclass(frozen=True, slots=True)
class Through:
    """The line from one named point to another."""

    start: str
    end: str


@dataclass(frozen=True, slots=True)
class Along:
    """A line along a direction of the left side, mirrored for the right [-]."""

    direction: tuple[float, float, float]


Line = Through | Along


@dataclass(frozen=True, slots=True)
class Turning:
    """A body that turns on another about the line through two points; positive as it lifts its ``tip``."""

    on: str
    line: Through
    tip: str


@dataclass(frozen=True, slots=True)
class Sliding:
    """A body that slides on another along a line."""

    on: str
    line: Line


@dataclass(frozen=True, slots=True)
class BodySpec:
    """A body, with how it moves (None: in every way) and whose wheels it carries."""

    name: str
    moves: Turning | Sliding | None = None
    shared: bool = False
    carries: tuple[SideName, ...] = ()


@dataclass(frozen=True, slots=True)
class Ball:
    """A point common to two bodies."""

    at: str
    between: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Rod:
    """A rod with a ball joint at each end."""

    ends: tuple[OnBody, OnBody]


@dataclass(frozen=True, slots=True)
class OnLine:
    """A point of one body that stays on a line of another; a direction alone goes through the point as found.

    Where a rod ``slides`` along the line, no rubber gives along it when a bush stands in for the joint.
    """

    point: OnBody
    line: Line
    of: str
    slides: bool = False


@dataclass(frozen=True, slots=True)
class InTheMiddle:
    """Both sides together keep the mean sideways place of a point in the car's body."""

    point: OnBody


@dataclass(frozen=True, slots=True)
class NotTurning:
    """A body that does not turn about a line against another."""

    body: str
    line: Line
    of: str


HowJoined = Ball | Rod | OnLine | InTheMiddle | NotTurning


@dataclass(frozen=True, slots=True)
class JointSpec:
    """A joint; one that is shared is there once, any other on each side (`InTheMiddle` joins both)."""

    name: str
    how: HowJoined
    shared: bool = False


@dataclass(frozen=True, slots=True)
class Hanging:
    """What hangs on the bodies of each side.

    ``spring`` are the seats of a coil, ``torsion_bar`` names the body in whose hinge a torsion bar lies;
    ``steering_axis`` are its lower and its upper point; ``roll_bars_on`` carries the anti-roll bars' bushes.
    """

    damper: tuple[OnBody, OnBody]
    spring: tuple[OnBody, OnBody] | None = None
    torsion_bar: str | None = None
    steering_axis: tuple[OnBody, OnBody] | None = None
    roll_bars_on: str = BODY


@dataclass(frozen=True, slots=True)
class AxleSpec:
    """All that is told of an axle; ``points`` are the names of a side's, ``shared_points`` those of the axle."""

    bodies: tuple[BodySpec, ...]
    joints: tuple[JointSpec, ...]
    hanging: Hanging
    points: tuple[str, ...]
    shared_points: tuple[str, ...] = ()


def bodies_of(how: HowJoined) -> tuple[str, ...]:
    """Words of the bodies that a joint joins."""
    match how:
        case Ball():
            return how.between
        case Rod():
            return tuple(end.body for end in how.ends)
        case OnLine():
            return (how.point.body, how.of)
        case InTheMiddle():
            return (how.point.body, BODY)
        case NotTurning():
            return (how.body, how.of)


def points_on(how: HowJoined, body: str) -> Iterator[str]:
    """Names of the points of a body that a joint takes hold of.

    Args:
        how: the joint
        body: word of the body

    """
    match how:
        case Ball():
            yield from (how.at for word in how.between if word == body)
        case Rod():
            yield from (end.point for end in how.ends if end.body == body)
        case OnLine() | InTheMiddle():
            yield from (how.point.point for word in (how.point.body,) if word == body)
            if isinstance(how, OnLine) and how.of == body and isinstance(how.line, Through):
                yield from (how.line.start, how.line.end)
        case NotTurning():
            return
