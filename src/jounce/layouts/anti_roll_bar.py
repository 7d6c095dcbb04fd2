"""An anti-roll bar: two halves turning in bushes on one body, their arm ends linked to another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.layouts.axle import Setting
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.measures import AnyMeasure, CoordinateSum, Distance
from jounce.linkage.tree import Body, Freedom, Point
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import bearing, through
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import unit


@dataclass(frozen=True, slots=True)
class AntiRollBarSide:
    """One side of a bar as found: bush centre, arm end (top of the link), the link's other end, all (3,) [m]."""

    bush: Array
    arm_end: Array
    link_end: Array


def anti_roll_bar(
    setting: Setting,
    name: str,
    sides: Mapping[SideName, AntiRollBarSide],
    carried_by: str,
    linked_to: Mapping[SideName, str],
) -> tuple[tuple[Body, ...], dict[str, AnyMeasure], dict[str, AnyMeasure]]:
    """Bodies, joints (the links) and the twist measure of a bar.

    The halves turn on the line through the two bushes; their difference, ``axle.<name>_twist``, is what twists and
    bends the steel. Each half's own angle is ``axle.side.<name>_angle``.

    Args:
        setting: axle, body and road
        name: ``roll_bar``, ``second_roll_bar`` …
        sides: points of the left and the right half
        carried_by: body that holds the bushes
        linked_to: body at the far end of each side's link

    """
    line = np.asarray(sides["left"].bush) - np.asarray(sides["right"].bush)
    axis = unit(line)
    bodies, joints, measures = [], {}, {}
    for side in SIDES:
        half = named(setting.axle, side, f"{name}_half")
        points = sides[side]
        bodies.append(Body(half, Freedom.HINGE, points.bush, axis, parent=carried_by))
        joints[named(setting.axle, side, f"{name}_link")] = Distance(
            Point(half, points.arm_end), Point(linked_to[side], points.link_end)
        )
        measures[named(setting.axle, side, f"{name}_angle")] = CoordinateSum({half: 1.0})
    left, right = (named(setting.axle, side, f"{name}_half") for side in SIDES)
    measures[named(setting.axle, f"{name}_twist")] = CoordinateSum({left: 1.0, right: -1.0})
    return tuple(bodies), dict(joints), dict(measures)


def turned_about(point: Array, origin: Array, axis: Array, angle: Array) -> Array:
    """A point turned about a line, shape (..., 3) [m].

    Args:
        point: shape (..., 3) [m]
        origin: a point of the line, shape (..., 3) [m]
        axis: unit vector of the line, shape (..., 3) [-]
        angle: right-handed about it, one or one per variant [rad]

    """
    arm = point - origin
    along = np.sum(arm * axis, axis=-1, keepdims=True) * axis
    across = arm - along
    cosine, sine = np.cos(angle)[..., None], np.sin(angle)[..., None]
    return np.asarray(origin + along + cosine * across + sine * cross(axis, across))


def turn_to_length(point: Array, origin: Array, axis: Array, far: Array, length_wanted: Array) -> Array:
    """Smallest turn of a point about a line that puts it at a given distance from another point [rad].

    ``B cos(t) + C sin(t) = D``, the projections of the point's circle on the way to the far one.

    Args:
        point: end of the arm, shape (..., 3) [m]
        origin: a point of the line, the bush [m]
        axis: unit vector of the line [-]
        far: the other end of the link [m]
        length_wanted: length of the link, one or one per variant [m]

    Raises:
        InputError: no turn gives that distance

    """
    arm, way = point - origin, far - origin
    along = np.sum(arm * axis, axis=-1, keepdims=True) * axis
    across = arm - along
    cosine, sine = np.sum(across * way, axis=-1), np.sum(cross(axis, across) * way, axis=-1)
    squares = np.sum(arm * arm, axis=-1) + np.sum(way * way, axis=-1)
    wanted = (squares - length_wanted**2) / 2 - np.sum(along * way, axis=-1)
    reach = np.sqrt(cosine**2 + sine**2)
    share = wanted / reach
    if np.any(np.abs(np.real(share)) >= 1):
        shortest, longest = (
            np.sqrt(np.real(squares / 2 - np.sum(along * way, axis=-1) - s * reach) * 2) for s in (1, -1)
        )
        raise InputError(
            "A drop link of this length does not reach from the bar's arm to its other end",
            found=show(float(np.ravel(np.real(length_wanted))[0]), Kind.LENGTH),
            allowed=f"{show(float(np.max(shortest)), Kind.LENGTH)} to {show(float(np.min(longest)), Kind.LENGTH)}",
            todo="Measure the link between the centres of its two joints.",
        )
    middle = bearing(sine, cosine)
    half = through(share, np.arccos(np.real(share)), -1 / np.sqrt(1 - np.real(share) ** 2))
    one, two = _within_half_turn(middle + half), _within_half_turn(middle - half)
    return np.asarray(np.where(np.abs(np.real(one)) < np.abs(np.real(two)), one, two))


def _within_half_turn(angle: Array) -> Array:
    """The same direction by an angle from minus to plus half a turn [rad]."""
    return np.asarray(angle - 2 * np.pi * np.round(np.real(angle) / (2 * np.pi)))
