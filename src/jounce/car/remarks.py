"""Remarks on what is possible but not usual: a slip of the pen shows here before it shows in a result."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from jounce.car.fields import Quantity
from jounce.car.leaves import leaves
from jounce.car.quantity import Measured
from jounce.conventions.axes import ENDS, SIDES, End, Side

if TYPE_CHECKING:
    from jounce.car.document import CarDocument

__all__ = ["remarks_of"]

MM = 1e3
CONTACT = 15e-3
"""The lowest point of a tyre should lie this close to the ground [m]."""
ORIGIN = 5e-3
"""The front wheel centres should lie this close to x = 0 [m]."""
TRACK = (1.2, 1.6)
WHEELBASE = (2.0, 2.8)
FRONT_SHARE = (0.52, 0.68)
CROSS_SHARE = (0.48, 0.52)
CHECK_POINTS = "Check the points and their origin."


def remarks_of(document: CarDocument) -> tuple[str, ...]:
    """All remarks on a document, each with its place.

    Args:
        document: the car

    """
    found = (*_values(document), *_wheels(document), *_whole_car(document))
    return tuple(dict.fromkeys(found))


def _values(document: CarDocument) -> Iterator[str]:
    for leaf in leaves(document):
        if isinstance(leaf.form, Quantity) and isinstance(leaf.value, Measured):
            remark = leaf.form.remark(leaf.value)
            if remark:
                yield f"{leaf.name}: {remark}"


def _wheels(document: CarDocument) -> Iterator[str]:
    for end in ENDS:
        for side in SIDES:
            one = document.axle(end).side(side)
            centre, camber = one.pivots.wheel_centre, one.alignment.camber.value
            lowest = centre.z - one.wheel.loaded_radius.value * math.cos(camber)
            if abs(lowest) > CONTACT:
                where = "above" if lowest > 0 else "below"
                yield (
                    f"{end}, {side}: unusual: the tyre ends {abs(lowest) * MM:.1f} mm {where} the ground. "
                    "Check the height of wheel_centre and loaded_radius."
                )
            if end is End.FRONT and abs(centre.x) > ORIGIN:
                yield (
                    f"{end}, {side}: unusual: the wheel centre lies at x = {centre.x * MM:.1f} mm; "
                    f"the origin should be under it. {CHECK_POINTS}"
                )


def _whole_car(document: CarDocument) -> Iterator[str]:
    centres = {(end, side): document.axle(end).side(side).pivots.wheel_centre for end in ENDS for side in SIDES}
    for end in ENDS:
        track = centres[end, Side.LEFT].y - centres[end, Side.RIGHT].y
        yield from _outside(f"{end}: unusual: track", track * MM, TRACK[0] * MM, TRACK[1] * MM, "mm", CHECK_POINTS)
    for side in SIDES:
        base = centres[End.FRONT, side].x - centres[End.REAR, side].x
        limits = WHEELBASE[0] * MM, WHEELBASE[1] * MM
        yield from _outside(f"{side}: unusual: wheelbase", base * MM, *limits, "mm", CHECK_POINTS)
    weights = "Check the corner weights."
    share, cross = document.mass.front_share * 100, document.mass.cross_share * 100
    limits = FRONT_SHARE[0] * 100, FRONT_SHARE[1] * 100
    yield from _outside("mass: unusual: share on the front wheels", share, *limits, "%", weights)
    limits = CROSS_SHARE[0] * 100, CROSS_SHARE[1] * 100
    yield from _outside("mass: unusual: share on front right and rear left", cross, *limits, "%", weights)


def _outside(what: str, value: float, low: float, high: float, unit: str, todo: str) -> Iterator[str]:
    if not low <= value <= high:
        yield f"{what} {value:.1f} {unit}, usual range {low:g} to {high:g} {unit}. {todo}"
