"""An anti-roll bar: two halves turning in bushes on one body, their arm ends linked to another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.layouts.axle import Setting
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.measures import AnyMeasure, CoordinateSum, Distance
from jounce.linkage.tree import Body, Freedom, Point
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import unit


@dataclass(frozen=True, slots=True)
class RollBarSide:
    """One side of a bar as found: bush centre, arm end (top of the link), the link's other end, all (3,) [m]."""

    bush: Array
    arm_end: Array
    link_end: Array


def roll_bar(
    setting: Setting,
    name: str,
    sides: Mapping[SideName, RollBarSide],
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
