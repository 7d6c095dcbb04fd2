"""Checks between the sections of one axle: each gives the problems that it found, with their place."""

from __future__ import annotations

import numpy as np

from jounce.car.mechanics.anti_roll_bar_shape import half_points
from jounce.car.mechanics.anti_roll_bars import fitted_bar, fitted_sides
from jounce.car.parts import AntiRollBar, BumpStopSection, Damper
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.elements.dampers.gas import check_gas_room
from jounce.layouts.needs import LEAST_DISTANCE, Apart, Off, unmet
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import unit

__all__ = ["check_damper_length", "check_equal_bar", "check_stop", "shape_problems"]

_OF_THE_WHOLE_BAR = (
    "diameter",
    "inner_diameter",
    "link_on",
    "youngs_modulus",
    "poisson_ratio",
    "link_rate",
    "bush_rate",
    "bush_axial_rate",
)
"""Keys of an anti-roll bar that cannot differ from side to side."""

_BAR_NEEDS = (
    Apart("bush", "other bush"),
    Off("arm's end", ("bush", "other bush"), "the bar turns about that line and could not move its link"),
)
_LEAST_LEVER = 0.02
"""A drop link that takes hold of a bar with less than this share of its arm stands at its dead point [-]."""

SLACK = 1e-6
"""Lengths are compared up to rounding [m]."""


def check_damper_length(damper: Damper, as_found: float, how: str) -> list[InputError]:
    """The damper's length as found lies between closed and open.

    Args:
        damper: the damper
        as_found: length between its ends as the car was measured [m]
        how: between which points, for the message

    Returns:
        No problem or one

    """
    low = damper.closed_length.value if damper.closed_length else 0.0
    high = damper.open_length.value if damper.open_length else float("inf")
    if low - SLACK <= as_found <= high + SLACK:
        return _gas_room(damper, as_found)
    limits = f"{show(low, Kind.LENGTH)} or more" if damper.open_length is None else f"up to {show(high, Kind.LENGTH)}"
    if damper.open_length and damper.closed_length:
        limits = f"{show(low, Kind.LENGTH)} to {show(high, Kind.LENGTH)}"
    return [
        InputError(
            f"The damper's length as found ({how}) is outside what the damper can do",
            found=show(as_found, Kind.LENGTH),
            allowed=limits,
            todo="Measure its closed and open length between the same two points, or measure the points again.",
            place="damper",
        )
    ]


def _gas_room(damper: Damper, as_found: float) -> list[InputError]:
    """The rod leaves room for the gas until the damper is closed."""
    if damper.gas_volume is None or damper.rod_diameter is None or damper.closed_length is None:
        return []
    try:
        check_gas_room(damper.gas_volume.value, damper.rod_diameter.value, as_found - damper.closed_length.value)
    except InputError as problem:
        problem.place = "damper.gas_volume"
        return [problem]
    return []


def check_stop(stop: BumpStopSection | None, damper: Damper) -> list[InputError]:
    """A stop given by its height needs the damper's closed length.

    Args:
        stop: the bump stop, if there is one
        damper: the damper on which it sits

    Returns:
        No problem or one

    """
    if stop is None or stop.free_height is None or damper.closed_length is not None:
        return []
    return [
        InputError(
            "The stop is given by its height, so the damper's closed length is needed",
            todo='Add "closed_length" to the damper, or give "gap" instead of "free_height".',
            place="bump_stop.free_height",
        )
    ]


def check_equal_bar(
    name: str, left: AntiRollBar | None, right: AntiRollBar | None, carriers: set[str]
) -> list[InputError]:
    """An anti-roll bar is one bar: both sides have it, with the same section and steel.

    Args:
        name: name of the bar's section
        left: its left half
        right: its right half
        carriers: what may carry its links' other ends on this axle

    Returns:
        The problems found

    """
    if left is None and right is None:
        return []
    if left is None or right is None:
        side = "left" if left is None else "right"
        message = f"The anti-roll bar is missing on the {side}"
        return [InputError(message, todo=f"Give [{name}] at axle level: it is mirrored.", place=name)]
    problems = [
        InputError(
            f'The anti-roll bar is one bar: "{key}" cannot differ from side to side',
            todo="Give it once, at axle level.",
            place=f"{name}.{key}",
        )
        for key in _OF_THE_WHOLE_BAR
        if getattr(left, key) != getattr(right, key)
    ]
    if left.link_on not in carriers:
        allowed = " or ".join(f'"{carrier}"' for carrier in sorted(carriers))
        problems.append(
            InputError(
                "The drop link's other end cannot be there on this axle",
                found=f'"{left.link_on}"',
                allowed=allowed,
                place=f"{name}.link_on",
            )
        )
    if not problems:
        problems = shape_problems(left, right)
        for problem in problems:
            problem.place = f"{name}.{problem.place}" if problem.place else name
    return problems


def shape_problems(left: AntiRollBar, right: AntiRollBar) -> list[InputError]:
    """What of an anti-roll bar cannot be made or fitted: bends that overlap, a bush off the bar, links that do not reach.

    Args:
        left: its left half
        right: its right half

    Returns:
        No problem or the first, its place below the bar's section

    """
    problems = _bar_problems(left, right)
    if problems:
        return problems
    try:
        fitted_bar(left, right).steel.frame()  # a plain bar's rate needs none, its stress does
    except InputError as problem:
        return [problem]
    return []


def _bar_problems(left: AntiRollBar, right: AntiRollBar) -> list[InputError]:
    """Points of a bar that are one or on its line, and links that cannot turn it."""
    ends = tuple(half_points(half)[0] for half in (left, right))
    points = {"bush": left.bush.xyz, "other bush": right.bush.xyz}
    arm = "arm_end" if left.arm_end is not None else "centre_line"
    for end in ends:
        for one in unmet(_BAR_NEEDS, points | {"arm's end": end}):
            found, least = f"{one.left * 1e3:.3g} mm", f"more than {LEAST_DISTANCE * 1e3:g} mm"
            if isinstance(one.need, Apart):
                message, todo = (
                    "The bushes of both sides are the same point",
                    "Measure how far out they lie: y is not 0.",
                )
                return [InputError(message, found=found, allowed=least, todo=todo, place="bush")]
            message = f"The end of the bar's arm lies on the line through its bushes: {one.need.why}"
            return [InputError(message, found=found, allowed=least, todo="Measure these points again.", place=arm)]
    return _dead_links(left, right)


def _dead_links(left: AntiRollBar, right: AntiRollBar) -> list[InputError]:
    """Links in line with the bar's arm, or along the bar, as fitted."""
    axis = unit(left.bush.xyz - right.bush.xyz)
    try:
        sides = fitted_sides(left, right)
    except InputError as problem:
        return [problem]
    for side in sides:
        way = side.points.link_end - side.points.arm_end
        if not np.linalg.norm(way) > LEAST_DISTANCE:
            continue  # points of the file are looked at where they are read; a fitted link has its length
        swing = cross(axis, side.points.arm_end - side.points.bush)
        share = np.abs(np.sum(swing * unit(way), axis=-1)) / np.linalg.norm(swing, axis=-1)
        if not float(np.min(share)) >= _LEAST_LEVER:
            return [
                InputError(
                    "The drop link stands at its dead point: in line with the bar's arm or along the bar it turns nothing",
                    found=f"a hold of {100 * float(np.min(share)):.2g} % of the arm",
                    allowed=f"{100 * _LEAST_LEVER:g} % or more",
                    todo="Measure both ends of the link again.",
                    place="link_end",
                )
            ]
    return []
