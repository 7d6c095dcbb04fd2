"""By how much a planned axle could stand lower before the first limit is met, and which one that is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.stops import RUBBER
from jounce.checks import Check, Verdict
from jounce.checks.ends_of_travel import end_of_travel
from jounce.checks.limits import CheckLimits
from jounce.conventions.axes import End
from jounce.job.plan import JobPlan
from jounce.layouts.naming import SIDES

__all__ = ["LowerLimit", "lower_still"]


@dataclass(frozen=True, slots=True)
class LowerLimit:
    """What is met first as an axle comes down; ``way`` is how far it is from there [m], 0 or less where it is met already.

    ``words`` end a sentence that begins with what lies beyond.
    """

    words: str
    way: float


def lower_still(
    document: CarDocument, plan: JobPlan, judged: tuple[Sequence[Check], CheckLimits], axle: str
) -> list[LowerLimit]:
    """Every limit that lowering an axle would meet, the nearest first; none where no end of its travel is known.

    A check that fails, whatever it is about, leaves no way at all.

    Args:
        document: the planned car's document
        plan: what came out
        judged: checks of the planned car, local rules among them, and the limits that they hold to
        axle: front or rear
    """
    checks, limits = judged
    found = [
        *_of_travel(plan, axle, limits),
        *_of_springs(plan, axle),
        *_of_thread(document, plan, axle),
        *_of_checks(checks, axle),
    ]
    if end_of_travel(plan.planned, axle, "bump") is None and not any(one.way <= 0 for one in found):
        return []
    return sorted(found, key=lambda one: one.way)


def _of_travel(plan: JobPlan, axle: str, limits: CheckLimits) -> Iterator[LowerLimit]:
    for met in plan.planned.stops[axle]:
        if met.name == RUBBER:
            yield LowerLimit("the way to the bump rubber is too short", met.travel - limits["least_free_bump"].value)
    end = end_of_travel(plan.planned, axle, "bump")
    if end is not None:
        yield LowerLimit(f"the bump travel is too short ({end.name})", end.travel - limits["least_bump"].value)


def _of_springs(plan: JobPlan, axle: str) -> Iterator[LowerLimit]:
    end = end_of_travel(plan.planned, axle, "droop")
    model = next(one for one in plan.planned.models if one.name == axle)
    for side in SIDES:
        loose = plan.planned.axles[axle].wheels[side].loose_at
        if loose is not None and end is not None and model.main[side].can_leave_its_seat:
            yield LowerLimit(f"the {side} spring is loose at full droop", loose - end.travel)


def _of_thread(document: CarDocument, plan: JobPlan, axle: str) -> Iterator[LowerLimit]:
    for side, setting in plan.settings[axle].seats.items():
        perch = getattr(document.axle(End(axle)).side(SIDE_OF[side]), "perch", None)
        if perch is not None and setting.turns is not None:
            ratio = abs(plan.planned.axles[axle].wheels[side].motion_ratio)
            yield LowerLimit(
                f"the {side} seat is at the end of its thread", (setting.seat - perch.lowest.value) / ratio
            )


def _of_checks(checks: Sequence[Check], axle: str) -> Iterator[LowerLimit]:
    for check in checks:
        if check.verdict is Verdict.FAIL:
            yield LowerLimit(f"a check fails already ({check.question})", 0.0)
        elif check.lowering in {axle, "car"} and check.margin is not None:
            yield LowerLimit(f"this no longer holds: {check.question}", check.margin)
