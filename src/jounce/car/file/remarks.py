"""Remarks on what is possible but not usual: a slip of the pen shows here before it shows in a result."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from jounce.car.file.contents import CarContents
from jounce.car.file.fields import QuantityField
from jounce.car.file.pivot_remarks import pivot_remarks
from jounce.car.file.quantity import Measured
from jounce.car.file.remark import Remark, in_words
from jounce.car.file.trammels import trammel_remarks
from jounce.car.file.usual import USUAL
from jounce.car.file.walk import Leaf, leaves
from jounce.conventions.axes import ENDS, SIDES, End, Side
from jounce.conventions.units import Kind, show

__all__ = ["remarks_of"]

CHECK_POINTS = "Check the points and their origin."
CHECK_WEIGHTS = "Check the corner weights."


def remarks_of(document: CarContents) -> tuple[Remark, ...]:
    """All remarks on what a document says, each with its places; none looks at a result.

    Args:
        document: the car

    """
    values = list(leaves(document))
    found = (
        *_values(values),
        *_wheels(document),
        *_whole_car(document),
        *_heights(document),
        *pivot_remarks(document, values),
        *trammel_remarks(document),
    )
    return tuple(dict.fromkeys(found))


def _values(values: Iterable[Leaf]) -> Iterator[Remark]:
    for leaf in values:
        if isinstance(leaf.form, QuantityField) and isinstance(leaf.value, Measured):
            remark = leaf.form.remark(leaf.value)
            if remark:
                yield Remark((leaf.name,), f"{in_words(leaf.name)}: {remark}")


def _wheels(document: CarContents) -> Iterator[Remark]:
    for end in ENDS:
        for side in SIDES:
            one = document.axle(end).side(side)
            centre, camber = one.pivots.wheel_centre, one.alignment.camber.value
            places = [
                document.place_of(end, side, section, key)
                for section, key in (("wheel", "loaded_radius"), ("pivots", "wheel_centre"))
            ]
            radius = one.wheel.loaded_radius.value
            lowest = centre.z - radius * math.cos(camber)
            if USUAL["tyre_on_ground"].misses(lowest):
                where = "above" if lowest > 0 else "below"
                yield Remark(
                    tuple(places),
                    f"{in_words(places[0])} {_mm(radius)} and the height {_mm(centre.z)} of the wheel centre "
                    f"contradict each other: the tyre would end {_mm(abs(lowest))} {where} the ground. "
                    "Measure both again.",
                    contradicts=True,
                )
            if end is End.FRONT and USUAL["origin_under_wheel"].misses(centre.x):
                yield Remark(
                    (places[1],),
                    f"{in_words(places[1])}: it lies at x = {_mm(centre.x)}; the origin should be under it. {CHECK_POINTS}",
                )


def _whole_car(document: CarContents) -> Iterator[Remark]:
    centres = {(end, side): document.axle(end).side(side).pivots.wheel_centre for end in ENDS for side in SIDES}
    places = {key: document.place_of(*key, "pivots", "wheel_centre") for key in centres}
    for end in ENDS:
        track = centres[end, Side.LEFT].y - centres[end, Side.RIGHT].y
        both = dict.fromkeys(places[end, side] for side in SIDES)
        yield from _outside(both, f"{end} track", "track", track, CHECK_POINTS)
    bases = {side: centres[End.FRONT, side].x - centres[End.REAR, side].x for side in SIDES}
    for side, base in bases.items():
        ends = dict.fromkeys(places[end, side] for end in (End.REAR, End.FRONT))
        yield from _outside(ends, f"wheelbase {side}", "wheelbase", base, CHECK_POINTS)
    if USUAL["wheelbase_sides"].misses(bases[Side.LEFT] - bases[Side.RIGHT]):
        yield Remark(
            tuple(dict.fromkeys(places[key] for key in ((End.REAR, Side.LEFT), (End.REAR, Side.RIGHT)))),
            f"The wheelbase is {_mm(bases[Side.LEFT])} on the left and {_mm(bases[Side.RIGHT])} on the right, "
            f"more than {USUAL['wheelbase_sides'].most} apart. Measure both sides again.",
        )
    mass = document.mass
    corners = {(end, side): f"mass.{end}_{side}" for end in ENDS for side in SIDES}
    front = [corners[End.FRONT, side] for side in SIDES]
    cross = [corners[End.FRONT, Side.RIGHT], corners[End.REAR, Side.LEFT]]
    yield from _outside(
        front, "share of the weight on the front wheels", "front_share", mass.front_share, CHECK_WEIGHTS
    )
    words = "share of the weight on front right and rear left"
    yield from _outside(cross, words, "cross_share", mass.cross_share, CHECK_WEIGHTS)
    for end in ENDS:
        left, right = (mass.corner(end, side).value for side in SIDES)
        if USUAL["weight_sides"].misses((left - right) / (left + right)):
            yield Remark(
                tuple(corners[end, side] for side in SIDES),
                f"{end} weights: {show(left, Kind.MASS)} left and {show(right, Kind.MASS)} right are far apart. "
                "Weigh again, with the driver's ballast in its place.",
            )


def _heights(document: CarContents) -> Iterator[Remark]:
    for end in ENDS:
        left, right = (document.heights.corner(end, side).value for side in SIDES)
        if USUAL["arch_sides"].misses(left - right):
            yield Remark(
                tuple(f"heights.{end}_{side}" for side in SIDES),
                f"{end} arch heights: {_mm(left)} left and {_mm(right)} right contradict each other, more than "
                f"{USUAL['arch_sides'].most} apart. Measure both again, straight up from the hub to the arch.",
            )


def _outside(places: Iterable[str], what: str, name: str, value: float, todo: str) -> Iterator[Remark]:
    usual = USUAL[name]
    if usual.misses(value):
        yield Remark(tuple(places), f"{what}: {usual.shown(value)} is unusual; usual are {usual.range}. {todo}")


def _mm(length: float) -> str:
    return show(length, Kind.LENGTH)
