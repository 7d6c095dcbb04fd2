"""Threaded seats: whether they reach where the wanted height asks for them."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.car.axles.beam_panhard import BeamPanhardAxle
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import CheckLimits
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import length, say
from jounce.layouts.naming import SIDES

_TODO = "Another spring length, or ask for another height."


def perch_checks(section: BeamPanhardAxle, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """Checks of both seats.

    Args:
        section: the planned rear axle
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    for side in SIDES:
        one, perch = section.side(SIDE_OF[side]), plan.perches[side]
        question = f"Does the {side} perch reach the wanted height?"
        if perch.wanted is None:
            what = "measure the new spring's free length"
            yield unknown("PER-01", question, Kind.LENGTH, what, asks="change.rear.spring.free_length")
        elif not perch.adjustable:
            good = abs(perch.wanted) <= limits["most_seat_off"].value
            wanted = length(perch.wanted, sign=True, fine=True)
            text = say("the seat would have to be {} from where it is, and there is no perch.", wanted)
            yield Check("PER-01", question, verdict(good), text, Kind.LENGTH, perch.wanted, 0.0, todo=_TODO)
        else:
            miss = perch.wanted - perch.seat
            good = one.perch is not None and abs(miss) <= one.perch.pitch.value / 2
            both = (length(place, sign=True, fine=True) for place in (perch.wanted, perch.seat))
            text = say("seat wanted at {}, set to {}.", *both)
            yield Check("PER-01", question, verdict(good), text, Kind.LENGTH, perch.wanted, perch.seat, todo=_TODO)
