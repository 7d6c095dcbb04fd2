"""Strut that locates the knuckle, sprung by a longitudinal torsion bar in the lower arm's pivot.

Bodies: rack (slides across the car); per side the lower arm (hinged on its two body pivots, which are the bar's own
line), the top plate (two slides: fore-and-aft, across), the knuckle with the damper body (free).
Joints: the lower ball joint; the rod through the top mount, a spherical point that the damper's axis passes through;
the tie rod. Left free: the two wheel travels.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.layouts.axle import AxleLinkage, Setting, WheelPoints, X, Y, Z
from jounce.layouts.naming import SIDES, SideName, named
from jounce.layouts.roll_bar import RollBarSide, roll_bar
from jounce.layouts.wheel import steering_axis_measures, wheel_axis, wheel_measures
from jounce.linkage.measures import AnyMeasure, Component, CoordinateSum, Distance
from jounce.linkage.tree import GROUND, Body, Direction, Freedom, Point, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross


@dataclass(frozen=True, slots=True)
class StrutCorner:
    """Pivots of one side as found, car axes, each (3,) or (variants, 3) [m], and the wheel's angles [rad]."""

    wheel_centre: Array
    arm_front: Array
    arm_rear: Array
    ball_joint: Array
    strut_top: Array
    strut_foot: Array
    tie_rod_inner: Array
    tie_rod_outer: Array
    camber: float | Array
    toe: float | Array
    loaded_radius: float | Array
    drive_shaft_inner: Array | None = None
    drive_shaft_outer: Array | None = None


@dataclass(frozen=True, slots=True)
class FrontRollBar:
    """An anti-roll bar on the car body; ``link_on`` is the link's far body, "arm" or "strut"."""

    left: RollBarSide
    right: RollBarSide
    link_on: str


def strut_torsion_bar(
    setting: Setting, corners: Mapping[SideName, StrutCorner], roll_bars: Mapping[str, FrontRollBar]
) -> AxleLinkage:
    """Lay out the axle.

    Args:
        setting: axle name, carrying body, road
        corners: pivots of both sides
        roll_bars: anti-roll bars by name (``roll_bar``, ``second_roll_bar``)

    Returns:
        The axle; adjustable joints are ``…tie_rod`` (length), ``…top_plate_x`` and ``…top_plate_y`` (displacement)
        and ``rack`` (displacement to the left).

    """
    axle, body = setting.axle, setting.body
    rack = Body(named(axle, "rack_bar"), Freedom.SLIDE, np.zeros(3), Y, parent=body)
    bodies: list[Body] = [rack]
    joints: dict[str, AnyMeasure] = {named(axle, "rack"): CoordinateSum({rack.name: 1.0})}
    measures: dict[str, AnyMeasure] = {}
    wheels: dict[SideName, WheelPoints] = {}
    for side in SIDES:
        corner = corners[side]
        bodies += _corner_bodies(setting, side, corner)
        joints |= _corner_joints(setting, side, corner, rack.name)
        knuckle = named(axle, side, "knuckle")
        axis = Direction(knuckle, wheel_axis(corner.camber, corner.toe, side))
        wheels[side] = WheelPoints(Point(knuckle, corner.wheel_centre), axis, corner.loaded_radius)
        measures |= wheel_measures(setting, side, wheels[side])
        measures |= _corner_measures(setting, side, corner)
    for name, bar in roll_bars.items():
        far = {side: named(axle, side, "arm" if bar.link_on == "arm" else "knuckle") for side in SIDES}
        extra = roll_bar(setting, name, {"left": bar.left, "right": bar.right}, body, far)
        bodies += extra[0]
        joints |= extra[1]
        measures |= extra[2]
    return AxleLinkage(
        axle=axle,
        bodies=tuple(bodies),
        joints=joints,
        measures=measures,
        carriers={side: named(axle, side, "knuckle") for side in SIDES},
        wheels=wheels,
        steering_axis={side: _steering_axis(setting, side, corners[side]) for side in SIDES},
        drive_shafts=_drive_shafts(setting, corners),
        drawing=tuple(line for side in SIDES for line in _drawing(setting, side, corners[side], rack.name)),
    )


def _drawing(setting: Setting, side: SideName, corner: StrutCorner, rack: str) -> list[tuple[str, tuple[Point, ...]]]:
    arm, knuckle, plate = (named(setting.axle, side, body) for body in ("arm", "knuckle", "top_plate"))
    lower = Point(arm, corner.ball_joint)
    return [
        ("lower arm", (Point(arm, corner.arm_front), lower, Point(arm, corner.arm_rear))),
        ("strut", (Point(plate, corner.strut_top), Point(knuckle, corner.strut_foot))),
        ("knuckle", (lower, Point(knuckle, corner.wheel_centre), Point(knuckle, corner.strut_foot))),
        ("tie rod", (Point(rack, corner.tie_rod_inner), Point(knuckle, corner.tie_rod_outer))),
    ]


def arm_axis(corner: StrutCorner) -> Array:
    """Unit vector along the arm's pivots, in the sense in which a rising wheel turns the arm, shape (..., 3) [-]."""
    return upward_axis(np.asarray(corner.arm_front), np.asarray(corner.arm_rear), np.asarray(corner.ball_joint))


def upward_axis(front: Array, rear: Array, ball_joint: Array) -> Array:
    """Unit vector along two pivots, in the sense of turning that lifts the ball joint [-].

    Args:
        front: front pivot, shape (..., 3) [m]
        rear: rear pivot, shape (..., 3) [m]
        ball_joint: point that the arm carries, shape (..., 3) [m]
    """
    line = front - rear
    axis = line / np.linalg.norm(line, axis=-1, keepdims=True)
    rise = cross(axis, ball_joint - rear)[..., 2:]
    return np.asarray(np.where(rise < 0, -axis, axis))


def _corner_bodies(setting: Setting, side: SideName, corner: StrutCorner) -> list[Body]:
    def name(thing: str) -> str:
        return named(setting.axle, side, thing)

    return [
        Body(name("arm"), Freedom.HINGE, corner.arm_rear, arm_axis(corner), parent=setting.body),
        Body(name("plate_slide"), Freedom.SLIDE, corner.strut_top, X, parent=setting.body),
        Body(name("top_plate"), Freedom.SLIDE, corner.strut_top, Y, parent=name("plate_slide")),
        Body(name("knuckle"), Freedom.FREE, corner.wheel_centre),
    ]


def _corner_joints(setting: Setting, side: SideName, corner: StrutCorner, rack: str) -> dict[str, AnyMeasure]:
    def name(thing: str) -> str:
        return named(setting.axle, side, thing)

    arm, knuckle = name("arm"), name("knuckle")
    ball = Segment(Point(arm, corner.ball_joint), Point(knuckle, corner.ball_joint))
    joints: dict[str, AnyMeasure] = {
        name(f"ball_joint_{letter}"): Component(ball, Direction(GROUND, unit))
        for letter, unit in (("x", X), ("y", Y), ("z", Z))
    }
    rod = Segment(Point(knuckle, corner.strut_foot), Point(name("top_plate"), corner.strut_top))
    fore, across = perpendiculars(np.asarray(corner.strut_top) - np.asarray(corner.strut_foot))
    joints[name("strut_fore")] = Component(rod, Direction(knuckle, fore))
    joints[name("strut_across")] = Component(rod, Direction(knuckle, across))
    joints[name("tie_rod")] = Distance(Point(rack, corner.tie_rod_inner), Point(knuckle, corner.tie_rod_outer))
    joints[name("top_plate_x")] = CoordinateSum({name("plate_slide"): 1.0})
    joints[name("top_plate_y")] = CoordinateSum({name("top_plate"): 1.0})
    return joints


def perpendiculars(line: Array) -> tuple[Array, Array]:
    """Two unit vectors square to a line that is not nearly along x: the first mostly fore-and-aft [-].

    Args:
        line: the line, shape (3,) or (variants, 3) [m]
    """
    along = line / np.linalg.norm(line, axis=-1, keepdims=True)
    fore = X - np.sum(X * along, axis=-1, keepdims=True) * along
    fore = fore / np.linalg.norm(fore, axis=-1, keepdims=True)
    return fore, cross(along, fore)


def _steering_axis(setting: Setting, side: SideName, corner: StrutCorner) -> tuple[Point, Point]:
    return (
        Point(named(setting.axle, side, "arm"), corner.ball_joint),
        Point(named(setting.axle, side, "top_plate"), corner.strut_top),
    )


def _corner_measures(setting: Setting, side: SideName, corner: StrutCorner) -> dict[str, AnyMeasure]:
    def name(thing: str) -> str:
        return named(setting.axle, side, thing)

    lower, upper = _steering_axis(setting, side, corner)
    measures: dict[str, AnyMeasure] = {
        name("torsion_bar"): CoordinateSum({name("arm"): 1.0}),
        name("damper"): Distance(upper, Point(name("knuckle"), corner.strut_foot)),
        **steering_axis_measures(setting, side, lower, upper),
    }
    return measures


def _drive_shafts(setting: Setting, corners: Mapping[SideName, StrutCorner]) -> dict[SideName, tuple[Point, Point]]:
    shafts: dict[SideName, tuple[Point, Point]] = {}
    for side in SIDES:
        corner = corners[side]
        if corner.drive_shaft_inner is not None:
            outer = corner.wheel_centre if corner.drive_shaft_outer is None else corner.drive_shaft_outer
            knuckle = named(setting.axle, side, "knuckle")
            shafts[side] = (Point(setting.body, corner.drive_shaft_inner), Point(knuckle, outer))
    return shafts
