"""Brakes: which axle locks first."""

from __future__ import annotations

from jounce.checks.check import Check, unknown, verdict
from jounce.checks.driven import Driven
from jounce.checks.limits import CheckLimits
from jounce.conventions.units import Kind
from jounce.job.sentence import Amount, Sentence, acceleration, say


def brake_check(drive: Driven, limits: CheckLimits) -> Check:
    """Whether the rear axle does not ask for more of its load than the front one over the usual range.

    Args:
        drive: what the planned car does on the road
        limits: what is common practice, and what the shop holds instead
    """
    question = "Do the front wheels lock before the rear ones?"
    usual, found = limits["front_locks_first_to"], drive.locking
    even: Sentence | str = ""
    if found.even is not None:
        even = say("a front share of {} would lock both axles together", Amount(found.even, Kind.SHARE, fewer=1))
    if not drive.car.driveline.brakes_told:
        what = (
            say("how the brakes share is not told; on this road {}", even)
            if even
            else "how the brakes share is not told"
        )
        return unknown("BRK-01", question, Kind.ACCELERATION, what, asks="driveline.brake_front_share")
    to = found.front_first_to
    until = (
        "the rear asks for more of its load from {} on"
        if found.rear_asks_more is not None
        else "up to {} as far as was looked"
    )
    told = say(until, acceleration(to))
    return Check(
        "BRK-01",
        question,
        verdict(to >= usual.value),
        say("{}; front first up to {} wanted{}.", told, acceleration(usual.value), say("; {}", even) if even else ""),
        Kind.ACCELERATION,
        to,
        usual.value,
        usual.origin,
        "at least",
        "rear wheels that lock first turn the car round",
        "More braking in front or less behind: a limiting valve, pads, rear cylinders. What a valve holds back is not in "
        "these numbers: give the share that is left behind it.",
    )
