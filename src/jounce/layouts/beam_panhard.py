"""Dead beam axle on two trailing arms with a Panhard rod and a bar inside the tube.

Bodies: the tube with the arm and hub carrier of one side (free); the arm and hub carrier of the other side, which
turns about the tube's own line (hinged on the tube). The bar inside the tube resists that turning.
Joints: each arm's front eye stays on the line of its body bush, free along it; the Panhard rod. Left free: heave
and roll.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.layouts.axle import AxleLinkage, Setting, WheelPoints, X, Y
from jounce.layouts.naming import SIDES, SideName, named
from jounce.layouts.roll_bar import RollBarSide, roll_bar
from jounce.layouts.wheel import wheel_axis, wheel_measures
from jounce.linkage.measures import AnyMeasure, Bearing, Component, CoordinateSum, Distance
from jounce.linkage.tree import Body, Direction, Freedom, Point, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross


@dataclass(frozen=True, slots=True)
class BeamCorner:
    """Pivots of one side as found, car axes, each (3,) or (variants, 3) [m], and the wheel's angles [rad].

    ``bush_axis`` is the soft axis of the arm's body bush (unit). ``spring_on`` and ``damper_on`` are "arm" or "tube".
    """

    wheel_centre: Array
    arm_bush: Array
    tube_end: Array
    spring_upper: Array
    spring_lower: Array
    damper_upper: Array
    damper_lower: Array
    camber: float | Array
    toe: float | Array
    loaded_radius: float | Array
    bush_axis: Array
    spring_on: str = "arm"
    damper_on: str = "arm"


@dataclass(frozen=True, slots=True)
class Panhard:
    """Ends of the Panhard rod as found [m]."""

    body_end: Array
    axle_end: Array


@dataclass(frozen=True, slots=True)
class AxleRollBar:
    """An add-on bar carried on the tube, its links going up to the body."""

    left: RollBarSide
    right: RollBarSide


def beam_panhard(
    setting: Setting,
    corners: Mapping[SideName, BeamCorner],
    panhard: Panhard,
    turning_side: SideName,
    roll_bars: Mapping[str, AxleRollBar],
) -> AxleLinkage:
    """Lay out the axle.

    Args:
        setting: axle name, carrying body, road
        corners: pivots of both sides
        panhard: the rod that holds the axle sideways
        turning_side: side whose arm and hub carrier turn about the tube's line
        roll_bars: add-on bars by name

    Returns:
        The axle; the adjustable joint is ``axle.panhard`` (length). The inner bar's twist is ``axle.inner_bar_twist``.

    """
    axle, body = setting.axle, setting.body
    tube = named(axle, "tube")
    turning = named(axle, turning_side, "carrier")
    middle = 0.5 * (np.asarray(corners["left"].wheel_centre) + np.asarray(corners["right"].wheel_centre))
    line = np.asarray(corners["left"].tube_end) - np.asarray(corners["right"].tube_end)
    axis = line / np.linalg.norm(line, axis=-1, keepdims=True)
    bodies: list[Body] = [
        Body(tube, Freedom.FREE, middle),
        Body(turning, Freedom.HINGE, corners[turning_side].tube_end, axis, parent=tube),
    ]
    carriers = {side: turning if side == turning_side else tube for side in SIDES}
    joints: dict[str, AnyMeasure] = {
        named(axle, "panhard"): Distance(Point(body, panhard.body_end), Point(tube, panhard.axle_end))
    }
    measures = _beam_measures(setting, tube, turning, middle, axis)
    wheels: dict[SideName, WheelPoints] = {}
    for side in SIDES:
        corner = corners[side]
        joints |= _bush_joints(setting, side, corner, carriers[side])
        direction = Direction(carriers[side], wheel_axis(corner.camber, corner.toe, side))
        wheels[side] = WheelPoints(Point(carriers[side], corner.wheel_centre), direction, corner.loaded_radius)
        measures |= wheel_measures(setting, side, wheels[side])
        measures |= _strut_measures(setting, side, corner, {"arm": carriers[side], "tube": tube})
    for name, bar in roll_bars.items():
        extra = roll_bar(setting, name, {"left": bar.left, "right": bar.right}, tube, dict.fromkeys(SIDES, body))
        bodies += extra[0]
        joints |= extra[1]
        measures |= extra[2]
    drawing = [line for side in SIDES for line in _drawing(setting, corners[side], carriers[side], tube)]
    drawing.append(("Panhard rod", (Point(body, panhard.body_end), Point(tube, panhard.axle_end))))
    drawing.append(("tube", (Point(tube, corners["left"].tube_end), Point(tube, corners["right"].tube_end))))
    return AxleLinkage(axle, tuple(bodies), joints, measures, carriers, wheels, beam=tube, drawing=tuple(drawing))


def _drawing(setting: Setting, corner: BeamCorner, carrier: str, tube: str) -> list[tuple[str, tuple[Point, ...]]]:
    on = {"arm": carrier, "tube": tube}
    return [
        ("trailing arm", (Point(carrier, corner.arm_bush), Point(carrier, corner.tube_end))),
        ("hub", (Point(carrier, corner.tube_end), Point(carrier, corner.wheel_centre))),
        ("coil", (Point(setting.body, corner.spring_upper), Point(on[corner.spring_on], corner.spring_lower))),
        ("damper", (Point(setting.body, corner.damper_upper), Point(on[corner.damper_on], corner.damper_lower))),
    ]


def _beam_measures(setting: Setting, tube: str, turning: str, middle: Array, axis: Array) -> dict[str, AnyMeasure]:
    """Axle shift (left positive, from the centre plane), axle steer and the twist of the inner bar."""
    origin = Point(setting.body, np.zeros(3))
    along = Direction(setting.body, Y)
    return {
        named(setting.axle, "shift"): Component(Segment(origin, Point(tube, middle)), along),
        named(setting.axle, "axle_steer"): Bearing(Direction(tube, axis), Direction(setting.body, -X), along),
        named(setting.axle, "inner_bar_twist"): CoordinateSum({turning: 1.0}),
    }


def _bush_joints(setting: Setting, side: SideName, corner: BeamCorner, carrier: str) -> dict[str, AnyMeasure]:
    """The arm's eye held square to the bush's soft axis, free along it."""
    gap = Segment(Point(setting.body, corner.arm_bush), Point(carrier, corner.arm_bush))
    soft = np.asarray(corner.bush_axis) / np.linalg.norm(corner.bush_axis, axis=-1, keepdims=True)
    fore = X - np.sum(X * soft, axis=-1, keepdims=True) * soft
    fore = fore / np.linalg.norm(fore, axis=-1, keepdims=True)
    return {
        named(setting.axle, side, "arm_bush_fore"): Component(gap, Direction(setting.body, fore)),
        named(setting.axle, side, "arm_bush_up"): Component(gap, Direction(setting.body, cross(fore, soft))),
    }


def _strut_measures(
    setting: Setting, side: SideName, corner: BeamCorner, bodies: Mapping[str, str]
) -> dict[str, AnyMeasure]:
    """Lengths of the coil (seat to seat) and the damper (eye to eye)."""
    return {
        named(setting.axle, side, "spring"): Distance(
            Point(setting.body, corner.spring_upper), Point(bodies[corner.spring_on], corner.spring_lower)
        ),
        named(setting.axle, side, "damper"): Distance(
            Point(setting.body, corner.damper_upper), Point(bodies[corner.damper_on], corner.damper_lower)
        ),
    }
