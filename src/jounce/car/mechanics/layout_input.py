"""From an axle's part of a car document to what its layout is built from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.axles.layout_sections import SPRING_SECTION
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.mechanics.anti_roll_bars import fitted_sides
from jounce.conventions.axes import Side, mirrored
from jounce.layouts.axle_input import AntiRollBarInput, AxleInput, SpringKind, WheelInput
from jounce.layouts.description import Layout
from jounce.layouts.naming import SIDES, SideName
from jounce.layouts.sites import BushInput
from jounce.numerics.arrays import Array

SIDE_OF = {"left": Side.LEFT, "right": Side.RIGHT}
ANTI_ROLL_BARS = ("roll_bar", "roll_bar_2")


def axle_given(
    section: Axle, axle: str, *, jointed: bool = False, bushes: Mapping[str, BushInput] | None = None
) -> AxleInput:
    """All that the axle's layout is built from.

    Args:
        section: the axle's part of the document
        axle: its name; a rear axle without a steering section has its tie rods on the body
        jointed: every joint as rows of its own, so that it has a load or can be a bush
        bushes: joints that bushes stand in for

    """
    layout = section.as_layout()
    return AxleInput(
        pivots={side: _pivots(section.side(SIDE_OF[side]).pivots, layout) for side in SIDES},
        wheels={side: _wheel(section.side(SIDE_OF[side])) for side in SIDES},
        axle_pivots=_axle_pivots(section, layout),
        choices=_choices(section, layout, axle),
        bush_axis=_bush_axes(section, layout),
        spring=spring_kind(section),
        anti_roll_bars=_anti_roll_bars(section),
        jointed=jointed,
        bushes=bushes or {},
    )


def spring_kind(section: Axle) -> SpringKind:
    """What springs the wheels of an axle."""
    for kind in section.as_layout().springs:
        if getattr(section.left, SPRING_SECTION[kind]) is not None:
            return kind
    raise ValueError("the document accepts no axle without a main spring")


def number(quantity: Measured) -> Array:
    """A measured number as an array of its variants, one where the document stands for one car [SI]."""
    return np.atleast_1d(quantity.value)


def coordinates(point: MeasuredPoint) -> Array:
    """Coordinates of a measured point, shape (3,) or (variants, 3) [m]."""
    return point.xyz


def _pivots(pivots: Any, layout: Layout) -> dict[str, Array]:
    given = {pivot.name: getattr(pivots, pivot.name) for pivot in layout.pivots}
    return {name: coordinates(point) for name, point in given.items() if point is not None}


def _wheel(side: Any) -> WheelInput:
    return WheelInput(number(side.alignment.camber), number(side.alignment.toe), number(side.wheel.loaded_radius))


def _axle_pivots(section: Axle, layout: Layout) -> dict[str, dict[str, Array]]:
    sections = {
        name: {pivot.name: coordinates(getattr(getattr(section, name), pivot.name)) for pivot in pivots}
        for name, pivots in layout.axle_pivots.items()
    }
    box = getattr(section, "steering_box", None)
    if box is not None:
        names = ("pitman_pivot", "pitman_end", "idler_pivot", "idler_end")
        sections["steering_box"] = {name: coordinates(getattr(box, name)) for name in names}
    return sections


def _choices(section: Axle, layout: Layout, axle: str) -> dict[str, str]:
    chosen = {choice.name: getattr(getattr(section, layout.choices_in), choice.name) for choice in layout.choices}
    if getattr(section, "steering_box", None) is not None:
        return chosen | {"steering": "box"}
    on_body = axle == "rear" and getattr(section, "steering", None) is None
    return chosen | {"steering": "none" if on_body else "rack"}


def _bush_axes(section: Axle, layout: Layout) -> dict[SideName, Array]:
    if not layout.bush_axes:
        return {}
    axis = getattr(section, layout.choices_in).bush_axis
    return {"left": np.array(axis), "right": np.array(mirrored(axis))}


def _anti_roll_bars(section: Axle) -> dict[str, AntiRollBarInput]:
    bars = {}
    for name in ANTI_ROLL_BARS:
        left, right = getattr(section.left, name, None), getattr(section.right, name, None)
        if left is not None and right is not None:
            one, other = fitted_sides(left, right)
            bars[name] = AntiRollBarInput(one.points, other.points, left.link_on)
    return bars
