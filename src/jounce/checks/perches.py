"""Seats of coils and leaves: whether they reach where the wanted height asks for them."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.car.axles.axle import Axle
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import CheckLimits
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import Sentence, length, say
from jounce.job.settings import PerchSetting
from jounce.layouts.naming import SIDES

_TODO = "Another spring length, a spacer, or ask for another height."
_TODO_LEAF = "Leaves of another camber, other shackles or blocks, or ask for another height."


def perch_checks(axle: str, section: Axle, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """Checks of both seats of an axle.

    Args:
        axle: "front" or "rear"
        section: its document as planned
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    for side in SIDES:
        one, perch = section.side(SIDE_OF[side]), plan.settings[axle].seats[side]
        thread, leaf = getattr(one, "perch", None), getattr(one, "leaf", None) is not None
        todo = _TODO_LEAF if leaf else _TODO
        question = f"Does the {side} {axle} spring seat reach the wanted height?"
        if perch.wanted is None:
            what, asks = _free_length(axle, leaf=leaf)
            yield unknown("PER-01", question, Kind.LENGTH, what, asks=asks)
        elif perch.shackle is not None and not perch.one_length:
            lack = next((x for x in plan.short if (x.axle, x.side, x.wish) == (axle, side, "height")), None)
            both = (length(place, sign=True, fine=True) for place in (perch.wanted, perch.seat))
            good = lack is None or abs(perch.wanted - perch.seat) <= limits["most_seat_off"].value
            text = lack.told() if lack is not None else say("seat wanted at {}, its shackle puts it at {}.", *both)
            yield Check("PER-01", question, verdict(good), text, Kind.LENGTH, perch.wanted, perch.seat, todo=todo)
        elif not perch.adjustable:
            good = abs(perch.wanted - perch.seat) <= limits["most_seat_off"].value
            text = _unthreaded(perch, leaf=leaf)
            yield Check("PER-01", question, verdict(good), text, Kind.LENGTH, perch.wanted, perch.seat, todo=todo)
        else:
            miss = perch.wanted - perch.seat
            good = thread is not None and abs(miss) <= thread.pitch.value / 2
            both = (length(place, sign=True, fine=True) for place in (perch.wanted, perch.seat))
            lack = next((x for x in plan.short if (x.axle, x.side, x.wish) == (axle, side, "height")), None)
            text = say("seat wanted at {}, set to {}.", *both) if lack is None else lack.told()
            yield Check("PER-01", question, verdict(good), text, Kind.LENGTH, perch.wanted, perch.seat, todo=todo)


def _free_length(axle: str, *, leaf: bool) -> tuple[str, str]:
    """What tells where a new spring holds the car, and where it is written."""
    if leaf:
        return "measure the new leaves' free camber", f"change.{axle}.leaf.free_camber"
    return "measure the new spring's free length", f"change.{axle}.spring.free_length"


def _unthreaded(perch: PerchSetting, *, leaf: bool) -> Sentence:
    """Where a seat without a thread would have to be, and what is there."""
    wanted = length(perch.wanted or 0.0, sign=True, fine=True)
    if perch.one_length:
        return say("seat wanted at {}, its shackle puts it at {}.", wanted, length(perch.seat, sign=True, fine=True))
    if not perch.seat:
        return say("the seat would have to be {} from where it is, and there is no perch.", wanted)
    text = "seat wanted at {}, its block puts it at {}." if leaf else "seat wanted at {}, its spacer puts it at {}."
    return say(text, wanted, length(perch.seat, sign=True, fine=True))
