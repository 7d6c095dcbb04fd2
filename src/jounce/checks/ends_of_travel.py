"""What ends the travel of a planned axle, and whether its springs stay loaded until there."""

from __future__ import annotations

from jounce.behaviour.axle.reach import StopContact, first_hard
from jounce.checks.check import Check, Verdict, unknown
from jounce.conventions.units import Kind
from jounce.job.plan import CarState, JobPlan
from jounce.job.sentence import length, say
from jounce.layouts.naming import SideName

_CAPTIVE = "springs must stay captive"
_WHY = "a spring that comes loose can leave its seat, or its bar turn backwards in its lever"


def end_of_travel(state: CarState, axle: str, at: str) -> StopContact | None:
    """What ends the travel; None when no part's own limit is known, so that only the bare linkage would end it.

    Args:
        state: the car as found or as planned
        axle: "front" or "rear"
        at: "bump" or "droop"
    """
    model = next(model for model in state.models if model.name == axle)
    if not any(stop.hard and stop.at == at for stop in model.stops):
        return None
    return first_hard(state.stops[axle], at)


def length_missing(axle: str, bump: StopContact | None) -> str:
    """Which length of the damper would tell the end of travel that is not known.

    Args:
        axle: "front" or "rear"
        bump: the end in bump, None where that one is not known
    """
    return f"{axle}.damper.{'closed' if bump is None else 'open'}_length"


def loose_check(code: str, question: str, axle: str, side: SideName, plan: JobPlan) -> Check:
    """Whether a main spring, all its members counted, is loaded down to full droop.

    Args:
        code: of the check
        question: that is asked
        axle: "front" or "rear"
        side: which spring
        plan: what came out
    """
    loose = plan.planned.axles[axle].wheels[side].loose_at
    end = end_of_travel(plan.planned, axle, "droop")
    if end is None and loose is None:
        return Check(code, question, Verdict.PASS, say("loaded as far down as the linkage goes."), Kind.LENGTH)
    if end is None:
        return unknown(
            code,
            question,
            Kind.LENGTH,
            "measure the damper's open length, so that full droop is known",
            loose,
            f"{axle}.damper.open_length",
        )
    todo = "A shorter damper, a helper spring or a softer spring."
    if loose is None or loose > end.travel:
        spare = "" if loose is None else say(", slack only beyond {}", length(loose))
        text = say("loaded to the end of droop at {}{}.", length(end.travel), spare)
        return Check(
            code, question, Verdict.PASS, text, Kind.LENGTH, loose, end.travel, _CAPTIVE, "at least", _WHY, todo
        )
    text = say(
        "slack from {} of droop, full droop is {} ({}).",
        length(loose),
        length(end.travel),
        end.name,
    )
    return Check(code, question, Verdict.FAIL, text, Kind.LENGTH, loose, end.travel, _CAPTIVE, "at least", _WHY, todo)
