"""Tyres against named points, over the whole travel, at every lock, with the other wheel up and down."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.parts.named_points import NearPoint
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import CheckLimits, Limit
from jounce.checks.sweep import Sweep, ends_missing, sweep
from jounce.conventions.axes import End
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import length, say
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.tree import Point
from jounce.numerics.arrays import Array

__all__ = ["gap_to_tyre", "tyre_room_checks"]


def tyre_room_checks(document: CarDocument, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """Each named point near a tyre.

    Args:
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    looked: dict[tuple[str, SideName], _Wheel] = {}
    for name, one in document.near.items():
        axle, _, only = one.wheel.partition(" ")
        for side in SIDES:
            if only in {"", side}:
                if (axle, side) not in looked:
                    looked[axle, side] = _wheel(document, plan, axle, side)
                yield _check(name, one, looked[axle, side], limits["least_tyre_gap"])


def gap_to_tyre(point: Array, centre: Array, axis: Array, radius: float, width: float) -> Array:
    """How far a point is from a tyre; negative inside it.

    The tyre is taken as a cylinder with square shoulders, which is on the safe side of a real one.

    Args:
        point: the point, shape (states, 3) [m]
        centre: the wheel's, same shape [m]
        axis: the wheel's, unit vectors, same shape [-]
        radius: of the tyre where the road does not press it [m]
        width: of the tyre [m]

    >>> at, axis = np.zeros((1, 3)), np.array([[0.0, 1.0, 0.0]])
    >>> round(float(gap_to_tyre(np.array([[0.0, 0.13, 0.34]]), at, axis, 0.3, 0.2)[0]), 12)
    0.05
    """
    away = point - centre
    beside = np.sum(away * axis, axis=-1)
    out = np.sqrt(np.maximum(np.sum(away * away, axis=-1) - beside * beside, 0.0)) - radius
    over = np.abs(beside) - width / 2
    outside = np.hypot(np.maximum(over, 0.0), np.maximum(out, 0.0))
    return np.asarray(outside + np.minimum(np.maximum(over, out), 0.0))


@dataclass(frozen=True, slots=True)
class _Wheel:
    """A wheel through all that it does; ``swept`` is None where its travel is not known, ``asks`` then what to measure.

    ``radius`` of the tyre is that of a free one; ``width`` is None where nobody measured it [m].
    """

    axle: str
    side: SideName
    swept: Sweep | None
    asks: str
    radius: float
    width: float | None


def _wheel(document: CarDocument, plan: JobPlan, axle: str, side: SideName) -> _Wheel:
    model = next(model for model in plan.planned.models if model.name == axle)
    section = document.axle(End(axle))
    wheel = section.side(SIDE_OF[side]).wheel
    load = document.mass.corner(End(axle), SIDE_OF[side]).value * GRAVITY
    swept = sweep(model, section, plan, side)
    return _Wheel(
        axle,
        side,
        swept,
        ends_missing(plan, axle) if swept is None else "",
        wheel.loaded_radius.value + load / wheel.tyre_rate.value,
        None if wheel.tyre_width is None else wheel.tyre_width.value,
    )


def _check(name: str, one: NearPoint, wheel: _Wheel, least: Limit) -> Check:
    question = f"Does the {wheel.side} {wheel.axle} tyre keep off the {name.replace('_', ' ')}?"
    if wheel.swept is None:
        what = "measure the damper's lengths, so that the ends of travel are known"
        return unknown("NER-01", question, Kind.LENGTH, what, asks=wheel.asks)
    if wheel.width is None:
        what = "measure the tyre's width"
        return unknown("NER-01", question, Kind.LENGTH, what, asks=f"{wheel.axle}.wheel.tyre_width")
    gaps = _gaps(one, wheel, wheel.swept, wheel.width)
    k = wheel.swept.worst(-gaps)
    gap, wide = float(gaps[k]), SHOWN_PER_TYPED * one.at.plus_minus
    band = say(" (± {})", length(wide)) if wide else ""
    words = "{}{} left at least: {}" if gap >= 0 else "the tyre reaches {}{} over it: {}"
    told = say(words, length(abs(gap)), band, wheel.swept.where(k))
    if wheel.swept.locks_unknown and gap >= least.value:
        return wheel.swept.not_locked("NER-01", question, told, gap, Kind.LENGTH)
    return Check(
        "NER-01",
        question,
        verdict(gap >= least.value),
        say("{}; {} wanted.", told, length(least.value)),
        Kind.LENGTH,
        gap,
        least.value,
        least.origin,
        "at least",
        "a tyre that rubs is cut, or holds the steering",
        "Another offset or a narrower tyre, a higher bump stop, a stop on the rack, or less lowering.",
    )


def _gaps(one: NearPoint, wheel: _Wheel, swept: Sweep, width: float) -> Array:
    linkage = swept.model.linkage
    body = linkage.body_called(one.on, wheel.side)
    if body is None:
        raise TypeError("a point on a body that the axle has not is refused when the car is read")
    at = one.at if (one.at.y > 0) is (wheel.side == "left") else one.at.mirrored()
    points = linkage.wheels[wheel.side]
    return gap_to_tyre(
        swept.at(Point(body, at.xyz)), swept.at(points.centre), swept.along(points.axis), wheel.radius, width
    )
