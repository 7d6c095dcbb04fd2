"""An axle laid out from plain lists of bodies and joints, for linkages that no named layout describes."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from jounce.conventions.axes import mirrored
from jounce.layouts.adjusters import TOE
from jounce.layouts.builder import BODY, AxleBuilder, SideBuilder
from jounce.layouts.common_pivots import DRIVE_SHAFT, WHEEL_CENTRE
from jounce.layouts.custom_axle import (
    POINTS,
    RACK,
    RELAY_ROD,
    AxleSpec,
    Ball,
    BodySpec,
    Hanging,
    InTheMiddle,
    JointSpec,
    Line,
    NotTurning,
    OnBody,
    OnLine,
    Rod,
    Sliding,
    Through,
    Turning,
    bodies_of,
    points_on,
)
from jounce.layouts.description import Layout, Pivot
from jounce.layouts.naming import SIDES
from jounce.layouts.steering import steering_gear
from jounce.linkage.measures import Bearing, Component, CoordinateSum, Distance
from jounce.linkage.tree import Body, Direction, Freedom, Point, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import X, Y, perpendiculars, unit

Teller = SideBuilder | AxleBuilder

SUMMARY = (
    "Bodies and joints listed one by one, for an axle that none of the other layouts describes. Left free: the two "
    "wheel travels, and the rack where something sits on it; anything else is refused."
)
SPINE = (WHEEL_CENTRE, *DRIVE_SHAFT)
"""Points that every list of points has or may have."""


def linkage_layout(told: AxleSpec) -> Layout:
    """The layout that lists make.

    Args:
        told: bodies, joints and what hangs on them; its names must be sound

    """
    free = tuple(Pivot(name, "a point of the linkage") for name in told.points if name not in _names(SPINE))
    return Layout(
        name="linkage",
        title="Linkage",
        summary=SUMMARY,
        pivots=(*SPINE, *free),
        build=_build(told),
        axle_pivots={POINTS: tuple(Pivot(name, "a point of the axle as a whole") for name in told.shared_points)},
        springs=("coil", "torsion bar"),
        steered=True,
        link_on={word: word for word in (BODY, *(body.name for body in told.bodies))},
        adjusters=tuple(TOE for joint in told.joints if _sets_toe(joint)),
    )


def _sets_toe(joint: JointSpec) -> bool:
    """Whether a joint is a tie rod by its name: a rod on each side, whose length a job may set."""
    return joint.name == TOE.joint and isinstance(joint.how, Rod) and not joint.shared


def _names(pivots: tuple[Pivot, ...]) -> set[str]:
    return {pivot.name for pivot in pivots}


def _build(told: AxleSpec) -> Callable[[AxleBuilder], None]:
    def build(axle: AxleBuilder) -> None:
        gear = _gear(axle, told)
        for teller, body in _parents_first(axle, told.bodies, gear):
            _tell_body(teller, body, gear)
        for joint in told.joints:
            for teller in _tellers(axle, shared=joint.shared or isinstance(joint.how, InTheMiddle)):
                _tell_joint(teller, joint, gear)
        _wheels(axle, told.bodies)
        for side in axle.sides:
            _hang(side, told.hanging)
        _draw(axle, told)
        axle.anti_roll_bars(told.hanging.roll_bars_on, {body.name: body.name for body in told.bodies} | {BODY: BODY})

    return build


def _gear(axle: AxleBuilder, told: AxleSpec) -> dict[str, str]:
    """Bodies of the steering gear by the words that stand for them, laid out where something sits on them."""
    words = {word for joint in told.joints for word in bodies_of(joint.how)}
    words |= {body.moves.on for body in told.bodies if body.moves is not None}
    if RACK in words:
        axle.sliding("rack_bar", BODY, np.zeros(3), Y, "rack")
        return {RACK: "rack_bar"}
    return {RELAY_ROD: steering_gear(axle)} if RELAY_ROD in words else {}


def _tellers(axle: AxleBuilder, *, shared: bool) -> tuple[Teller, ...]:
    return (axle,) if shared else axle.sides


def _parents_first(
    axle: AxleBuilder, bodies: tuple[BodySpec, ...], gear: dict[str, str]
) -> Iterator[tuple[Teller, BodySpec]]:
    """Every body of both sides and of the axle, after the one that it turns or slides on."""
    waiting = [(teller, body) for body in bodies for teller in _tellers(axle, shared=body.shared)]
    while waiting:
        ready = [item for item in waiting if _carrier_is_told(*item, gear)]
        if not ready:
            raise ValueError("bodies turn on each other in a ring")
        for item in ready:
            waiting.remove(item)
            yield item


def _carrier_is_told(teller: Teller, body: BodySpec, gear: dict[str, str]) -> bool:
    if body.moves is None:
        return True
    try:
        teller.body(gear.get(body.moves.on, body.moves.on))
    except KeyError:
        return False
    return True


def _at(teller: Teller, name: str) -> Array:
    """A point by name: a side's own before the axle's; for the axle as a whole ``left.name`` is a side's."""
    if isinstance(teller, SideBuilder):
        return teller[name] if teller.has(name) else np.asarray(teller.given.axle_pivots[POINTS][name])
    word, dot, own = name.partition(".")
    if dot:
        return (teller.left if word == "left" else teller.right)[own]
    return teller.at(POINTS, name)


def _direction(teller: Teller, line: Line) -> Array:
    """Along a line, of any length."""
    if isinstance(line, Through):
        return np.asarray(_at(teller, line.end) - _at(teller, line.start))
    return np.array(mirrored(line.direction) if teller.side == "right" else line.direction)


def _tell_body(teller: Teller, body: BodySpec, gear: dict[str, str]) -> None:
    centre = teller["wheel_centre"] if isinstance(teller, SideBuilder) else teller.middle("wheel_centre")
    match body.moves:
        case None:
            teller.free(body.name, centre)
        case Turning():
            front, rear, tip = (
                _at(teller, name) for name in (body.moves.line.start, body.moves.line.end, body.moves.tip)
            )
            teller.arm(body.name, front, rear, tip, gear.get(body.moves.on, body.moves.on))
        case Sliding():
            parent = teller.body(gear.get(body.moves.on, body.moves.on))
            axis = unit(_direction(teller, body.moves.line))
            teller.parts.bodies.append(Body(teller.title(body.name), Freedom.SLIDE, centre, axis, parent=parent))
            teller.measure(f"{body.name}_slide", CoordinateSum({teller.title(body.name): 1.0}))


def _tell_joint(teller: Teller, joint: JointSpec, gear: dict[str, str]) -> None:
    def on(end: OnBody) -> tuple[str, Array]:
        return gear.get(end.body, end.body), _at(teller, end.point)

    how = joint.how
    words = [gear.get(word, word) for word in bodies_of(how)]
    match how:
        case Ball():
            teller.ball(joint.name, words[0], words[1], _at(teller, how.at))
        case Rod():
            teller.rod(joint.name, on(how.ends[0]), on(how.ends[1]))
        case OnLine():
            start = how.line.start if isinstance(how.line, Through) else how.point.point
            carried, axis = (words[1], _at(teller, start)), _direction(teller, how.line)
            teller.line(joint.name, carried, axis, on(how.point), slides=how.slides)
        case InTheMiddle():
            if isinstance(teller, AxleBuilder):
                teller.held_in_the_middle(joint.name, how.point.point, dict.fromkeys(SIDES, how.point.body))
        case NotTurning():
            first, second = perpendiculars(_direction(teller, how.line))
            still = Component(Direction(teller.body(words[0]), first), Direction(teller.body(words[1]), second))
            teller.held(joint.name, still)


def _wheels(axle: AxleBuilder, bodies: tuple[BodySpec, ...]) -> None:
    """Wheels on what carries them; a body that carries both is a beam."""
    for body in bodies:
        for side in axle.sides:
            if side.side in body.carries:
                side.wheel_on(body.name)
                side.drive_shaft_to(body.name)
        if body.shared and set(body.carries) == set(SIDES):
            _beam(axle, body.name)


def _beam(axle: AxleBuilder, word: str) -> None:
    """What is measured on a beam: its shift (left positive, from the centre plane) and its steer."""
    axle.beam = word
    body, beam, middle = axle.setting.body, axle.body(word), axle.middle("wheel_centre")
    along = Direction(body, Y)
    axle.measure("shift", Component(Segment(Point(body, 0 * middle), Point(beam, middle)), along))
    across = Direction(beam, unit(axle.across("wheel_centre")))
    axle.measure("axle_steer", Bearing(across, Direction(body, -X), along))
    axle.draw(word, (word, axle.left["wheel_centre"]), (word, axle.right["wheel_centre"]))


def _draw(axle: AxleBuilder, told: AxleSpec) -> None:
    """Lines through the joints of every body that is not drawn as an arm; on a wheel's carrier from its centre."""
    for body in told.bodies:
        if isinstance(body.moves, Turning):
            continue
        joints = [joint for joint in told.joints if joint.shared == body.shared]
        names = list(dict.fromkeys(name for joint in joints for name in points_on(joint.how, body.name)))
        for teller in _tellers(axle, shared=body.shared):
            points = [(body.name, _at(teller, name)) for name in names]
            if isinstance(teller, SideBuilder) and body.carries:
                for point in points:
                    teller.draw(body.name, point, (body.name, teller["wheel_centre"]))
            elif len(points) > 1:
                teller.draw(body.name, *points)


def _hang(side: SideBuilder, hanging: Hanging) -> None:
    def ends(pair: tuple[OnBody, OnBody]) -> tuple[tuple[str, Array], tuple[str, Array]]:
        return (pair[0].body, _at(side, pair[0].point)), (pair[1].body, _at(side, pair[1].point))

    for name, pair in (("damper", hanging.damper), ("spring", hanging.spring)):
        if pair is not None and (name == "damper" or side.given.spring == "coil"):
            one, two = ends(pair)
            side.measure(name, Distance(Point(side.body(one[0]), one[1]), Point(side.body(two[0]), two[1])))
            side.draw("coil" if name == "spring" else name, one, two)
    if side.given.spring == "coil":
        side.parts.springs[side.side] = side.title("spring")
    elif hanging.torsion_bar is not None:
        side.torsion_bar(hanging.torsion_bar)
    if hanging.steering_axis is not None:
        side.steers_about(*ends(hanging.steering_axis))
