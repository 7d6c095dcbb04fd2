"""Top plates and upper joints: whether their slots reach what the alignment asks for."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.checks.check import Check, unknown, verdict
from jounce.conventions.units import Kind
from jounce.job.document import AxleChange, JointSlots
from jounce.job.plan import JobPlan
from jounce.job.sentence import Sentence, length, say
from jounce.layouts.adjusters import Adjuster

_SLOTS = "the part's own slots"
_TODO = "Longer slots, or ask for less."


def plate_checks(axle: str, mover: Adjuster, change: AxleChange, plan: JobPlan) -> Iterator[Check]:
    """Checks of what moves the upper joints of an axle.

    Args:
        axle: "front" or "rear"
        mover: what moves them
        change: the parts exchanged on it
        plan: what came out
    """
    plate: JointSlots | None = getattr(change, mover.part)
    wheels, place = plan.settings[axle].wheels, f"change.{axle}.{mover.part}.reach"
    for side, wheel in wheels.items():
        rearward = wheel.rearward_needed
        if abs(rearward) < 1e-6:
            continue
        way = "rearward" if rearward > 0 else "forward"
        reach = None if plate is None else (plate.reach_rear if rearward > 0 else plate.reach_fore)
        question = f"Does the {side} {axle} {mover.name} reach the {way} position?"
        if reach is None:
            what = say("it goes {} {}; measure its slots", length(abs(rearward), fine=True), way)
            asks = f"{place}_{'rear' if rearward > 0 else 'fore'}"
            yield unknown("PLT-02", question, Kind.LENGTH, what, rearward, asks)
        else:
            text = _told(plan, (axle, side, "caster")) or say(
                "{} {}, reach {}.", length(abs(rearward), fine=True), way, length(reach.value)
            )
            yield _reach_check("PLT-02", question, text, abs(rearward), reach.value)
    for side, wheel in wheels.items():
        inward = wheel.inward_needed
        if abs(inward) < 1e-6:
            continue
        question = f"Does the {side} {axle} {mover.name} reach the camber wanted?"
        most = None if plate is None else plate.across(inward=inward > 0)
        if most is None:
            what = say("it has to move {} inward; measure its slots", length(inward, sign=True, fine=True))
            asks = f"{place}_{'inward' if inward > 0 else 'outward'}"
            yield unknown("PLT-01", question, Kind.LENGTH, what, inward, asks)
            continue
        way = "inward" if inward > 0 else "outward"
        text = _told(plan, (axle, side, "camber")) or say(
            "{} {}, reach {}.", length(abs(inward), fine=True), way, length(most)
        )
        yield _reach_check("PLT-01", question, text, abs(inward), most)


def _told(plan: JobPlan, which: tuple[str, str, str]) -> Sentence | None:
    """What was wanted, what is reached, what would be needed; None where the slots reach."""
    return next((lack.told() for lack in plan.short if (lack.axle, lack.side, lack.wish) == which), None)


def _reach_check(code: str, question: str, text: Sentence, way: float, reach: float) -> Check:
    return Check(
        code,
        question,
        verdict(way <= reach),
        text,
        Kind.LENGTH,
        way,
        reach,
        _SLOTS,
        "at most",
        "beyond its slot the part would have to be cut",
        _TODO,
    )
