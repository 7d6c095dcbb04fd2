"""Remarks on where points lie: near their wheel, between ground and bonnet, and in the order in which parts are built."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np

from jounce.car.file.contents import CarContents
from jounce.car.file.quantity import MeasuredPoint
from jounce.car.file.remark import Remark, in_words
from jounce.car.file.usual import USUAL
from jounce.car.file.walk import Leaf
from jounce.conventions.axes import ENDS, SIDES, End, Side
from jounce.conventions.units import Kind, show

__all__ = ["pivot_remarks"]

MEASURE = "Measure it again, and look at its sign and its decimal point."
BOTH = "Measure both again, and look at their signs and decimal points."

_HIGHER = (
    *(("strut_top", "strut_foot"), ("strut_foot", "ball_joint")),
    *(("spring_upper", "spring_lower"), ("damper_upper", "damper_lower")),
    *((f"upper_{end}", f"lower_{end}") for end in ("front", "rear", "ball")),
    *((f"upper_link_{end}", f"lower_link_{end}") for end in ("front", "rear")),
)
_FARTHER_OUT = (
    *(("ball_joint", f"arm_{end}") for end in ("front", "rear")),
    *((f"{arm}_ball", f"{arm}_{end}") for arm in ("lower", "upper") for end in ("front", "rear")),
    *((f"link_{n}_outer", f"link_{n}_inner") for n in range(1, 5)),
    *(("tie_rod_outer", "tie_rod_inner"), ("arm_outer", "arm_inner"), ("wheel_centre", "drive_shaft_inner")),
)
_AHEAD = (
    *((f"{arm}_front", f"{arm}_rear") for arm in ("arm", "lower", "upper", "lower_link", "upper_link")),
    *(("front_eye", "leaf_seat"), ("leaf_seat", "rear_eye"), ("arm_bush", "wheel_centre")),
)
_ORDERS = (("z", _HIGHER, "above"), ("y", _FARTHER_OUT, "farther out than"), ("x", _AHEAD, "ahead of"))
"""By coordinate: pairs of pivots of which the first lies above, outside or ahead of the second, and how that is said."""
_ALONG = (*_AHEAD[:5], ("arm_bush", "wheel_centre"))
"""Pairs of pivots whose line runs along the car."""


def pivot_remarks(document: CarContents, values: Sequence[Leaf]) -> Iterator[Remark]:
    """Remarks on the points of both axles.

    Args:
        document: the car
        values: all that it says

    """
    for end in ENDS:
        yield from _near_the_wheel(document, end, values)
        for side in SIDES:
            yield from _in_order(document, end, side)
            yield from _along_the_car(document, end, side)
            yield from _coil_on_strut(document, end, side)
            yield from _anti_roll_bars(document, end, side)


def _near_the_wheel(document: CarContents, end: End, values: Iterable[Leaf]) -> Iterator[Remark]:
    for leaf in values:
        parts, point = leaf.name.split("."), leaf.value
        if parts[0] != end or not isinstance(point, MeasuredPoint) or parts[-1] == "wheel_centre":
            continue
        side = Side.RIGHT if Side.RIGHT in parts else Side.LEFT
        centre = document.axle(end).side(side).pivots.wheel_centre
        for name, value, how in (
            ("point_height", point.z, "above the ground"),
            ("point_along", point.x - centre.x, "ahead of the wheel centre"),
            ("point_across", abs(point.y) - abs(centre.y), "farther out than the wheel centre"),
        ):
            usual = USUAL[name]
            if usual.misses(value):
                yield Remark(
                    (leaf.name,),
                    f"{in_words(leaf.name)}: it lies {usual.shown(value)} {how}; usual are {usual.range}. {MEASURE}",
                )


def _pairs(document: CarContents, end: End, side: Side, names: Iterable[tuple[str, str]]) -> Iterator[_Pair]:
    """Pairs of points that this axle has, with their places."""
    pivots = document.axle(end).side(side).pivots
    for pair in names:
        one, other = (getattr(pivots, key, None) for key in pair)
        if one is not None and other is not None:
            places = (document.place_of(end, side, "pivots", key) for key in pair)
            yield _Pair(one, other, tuple(places))


class _Pair(NamedTuple):
    one: MeasuredPoint
    other: MeasuredPoint
    places: tuple[str, ...]


def _in_order(document: CarContents, end: End, side: Side) -> Iterator[Remark]:
    usual = USUAL["order"]
    for axis, names, how in _ORDERS:
        for pair in _pairs(document, end, side, names):
            one, other = (getattr(point, axis) for point in (pair.one, pair.other))
            if usual.misses((one - other) * (side.outward if axis == "y" else 1)):
                said = [
                    f"{in_words(place)} ({axis} = {_mm(n)})" for place, n in zip(pair.places, (one, other), strict=True)
                ]
                text = f"{said[0]} usually lies {how} {said[1]}, by {usual.range}. {BOTH}"
                yield Remark(pair.places, text)


def _along_the_car(document: CarContents, end: End, side: Side) -> Iterator[Remark]:
    usual = USUAL["arm_line_in_plan"]
    for pair in _pairs(document, end, side, _ALONG):
        angle = math.atan2(abs(pair.one.y - pair.other.y), abs(pair.one.x - pair.other.x))
        if usual.misses(angle):
            said = " to ".join(map(in_words, pair.places))
            text = (
                f"The line from {said} runs {usual.shown(angle)} across the car in plan; usual are up to {usual.most}."
            )
            yield Remark(pair.places, f"{text} {BOTH}")


def _coil_on_strut(document: CarContents, end: End, side: Side) -> Iterator[Remark]:
    pivots, usual = document.axle(end).side(side).pivots, USUAL["coil_beside_rod"]
    top, foot = getattr(pivots, "strut_top", None), getattr(pivots, "strut_foot", None)
    if top is None or foot is None:
        return
    along = (top.xyz - foot.xyz) / top.distance(foot)
    for key in ("spring_upper", "spring_lower"):
        seat = getattr(pivots, key, None)
        if seat is None:
            continue
        beside = float(np.linalg.norm(np.cross(seat.xyz - foot.xyz, along)))
        if usual.misses(beside):
            place = document.place_of(end, side, "pivots", key)
            text = (
                f"{in_words(place)}: it lies {_mm(beside)} beside its strut's rod; usual are {usual.range}. {MEASURE}"
            )
            yield Remark((place,), text)


def _anti_roll_bars(document: CarContents, end: End, side: Side) -> Iterator[Remark]:
    one: Any = document.axle(end).side(side)
    for name in ("roll_bar", "roll_bar_2"):
        bar = getattr(one, name, None)
        if (
            bar is None or bar.arm_end is None or bar.bend is None
        ):  # where one told by its centre line ends, its holes say
            continue
        link = bar.link_end.xyz - bar.arm_end.xyz
        length = float(np.linalg.norm(link))
        tilt = math.acos(min(abs(float(link[2])) / length, 1.0)) if length else 0.0
        for limit, value, keys in (
            ("bush_inside_bend", (bar.bend.y - bar.bush.y) * side.outward, ("bush", "bend")),
            ("drop_link", length, ("link_end", "arm_end")),
            ("drop_link_tilt", tilt, ("link_end", "arm_end")),
        ):
            usual = USUAL[limit]
            if usual.misses(value):
                places = tuple(document.place_of(end, side, name, key) for key in keys)
                said = " and ".join(map(in_words, places))
                text = f"{said}: {usual.words} is {usual.shown(value)}; usual are {usual.range}. {BOTH}"
                yield Remark(places, text)


def _mm(length: float) -> str:
    return show(length, Kind.LENGTH)
