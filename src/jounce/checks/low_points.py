"""Named low points over the road: standing as planned, and with people and luggage aboard."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.road.attitude import attitude
from jounce.car.file.document import CarDocument
from jounce.car.parts.named_points import LowPoint
from jounce.checks.check import Check, Verdict, unknown, verdict
from jounce.checks.driven import Driven
from jounce.checks.limits import CheckLimits
from jounce.conventions.axes import CORNERS
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import length, say
from jounce.layouts.naming import SideName
from jounce.linkage.tree import GROUND, Point
from jounce.numerics.arrays import Array

__all__ = ["height_over_road", "low_point_checks"]


def low_point_checks(document: CarDocument, plan: JobPlan, drive: Driven, limits: CheckLimits) -> Iterator[Check]:
    """Each named low point, standing against what was entered, laden against common practice.

    Args:
        document: the planned car's document
        plan: what came out
        drive: what the planned car does on the road
        limits: what is common practice, and what the shop holds instead
    """
    sits = plan.planned.sits
    standing = np.array([sits.heave, sits.pitch, sits.roll, *(sits.travel[corner] for corner in CORNERS)])
    for name, one in document.low.items():
        spoken = name.replace("_", " ")
        yield _standing(spoken, height_over_road(one, plan, standing), document)
        yield _laden(spoken, one, plan, drive, limits)


def height_over_road(one: LowPoint, plan: JobPlan, freedoms: Array) -> float:
    """Height of a low point over a level road [m].

    Args:
        one: the point
        plan: what came out
        freedoms: heave, pitch, roll of the body and travels of the four wheels, shape (7,) [m, rad]
    """
    side: SideName = "left" if one.at.y >= 0 else "right"
    number = ("front", "rear").index(one.axle)
    model = plan.planned.models[number]
    body = model.linkage.body_called(one.on, side)
    if body is None:
        raise TypeError("a point on a body that the axle has not is refused when the car is read")
    at = np.asarray(one.at.xyz)[None, :]
    if body != GROUND:
        left, right = freedoms[3 + 2 * number : 5 + 2 * number]
        settings = plan.planned.states[model.name].settings
        placed = place_axle(model.stand, model.name, AxleStates(left=left, right=right, settings=settings))
        at = model.stand.position(placed.pose, Point(body, one.at.xyz))
    stands = attitude(*(freedoms[k : k + 1] for k in range(3)))
    return float(stands.turned(at)[0, 2] + stands.heave[0])


def _standing(spoken: str, left: float, document: CarDocument) -> Check:
    question, least = f"Is the {spoken} high enough over the road?", document.limits.minimum_ground_clearance
    if least is None:
        what = say("{} over the road; enter the least clearance that the law or the shop asks for", length(left))
        return unknown("GND-02", question, Kind.LENGTH, what, left, "limits.minimum_ground_clearance")
    return Check(
        "GND-02",
        question,
        verdict(left >= least.value),
        say("{} over the road, {} asked for.", length(left), length(least.value)),
        Kind.LENGTH,
        left,
        least.value,
        "as entered",
        "at least",
        "what touches the road is torn off",
        "Lower it less, or move it up.",
        lowering="car",
    )


def _laden(spoken: str, one: LowPoint, plan: JobPlan, drive: Driven, limits: CheckLimits) -> Check:
    question, least = f"Is the {spoken} high enough with people and luggage aboard?", limits["least_laden_clearance"]
    if not drive.laden:
        what = "tell where passengers and luggage ride and what they weigh"
        return unknown("GND-03", question, Kind.LENGTH, what, asks="places")
    if any(aboard.freedoms is None for aboard in drive.laden):
        return Check("GND-03", question, Verdict.FAIL, say("laden the car finds no rest."), Kind.LENGTH)
    left = min(height_over_road(one, plan, aboard.freedoms) for aboard in drive.laden if aboard.freedoms is not None)
    return Check(
        "GND-03",
        question,
        verdict(left >= least.value),
        say("{} over the road, {} wanted.", length(left), length(least.value)),
        Kind.LENGTH,
        left,
        least.value,
        least.origin,
        "at least",
        "what touches the road is torn off",
        "Lower it less, stiffer springs, or move it up.",
        lowering="car",
    )
