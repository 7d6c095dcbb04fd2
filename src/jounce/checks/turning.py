"""Turns: where the car tips over, which end goes first, where the bump rubbers are met."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.behaviour.road.followed import PathEnd
from jounce.behaviour.road.to_limit import ToLimit
from jounce.checks.check import Check, Verdict, unknown, verdict
from jounce.checks.driven import Driven
from jounce.checks.limits import CheckLimits, Limit
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import Kind
from jounce.job.sentence import Amount, Sentence, acceleration, say

_TURNS = ("left", "right")
_LAW = "front.wheel.lateral"
_NO_LAW = "how the tyres grip sideways is not told: choose a law for them in the car file, front and rear wheel"


def turn_checks(drive: Driven, limits: CheckLimits) -> Iterator[Check]:
    """Tipping, grip at a brisk turn and at the limit, rubbers.

    Args:
        drive: what the planned car does on the road
        limits: what is common practice, and what the shop holds instead
    """
    yield _tipping_check(drive, limits["tipping_safety"])
    yield _brisk_check(drive, limits["brisk"])
    yield _limit_check(drive, limits["rear_reserve"])
    for axle in drive.car.names:
        yield _rubber_check(axle, drive, limits["least_rubber_turn"])


def _tipping_check(drive: Driven, safety: Limit) -> Check:
    question = "Does the car slide before it tips over or jacks up?"
    friction = drive.car.driveline.friction
    wanted = safety.value * friction * GRAVITY
    which, turn = min(enumerate(drive.turns), key=lambda one: one[1].limits.farthest)
    limits = turn.limits
    if limits.farthest < wanted and limits.end is not PathEnd.NO_REST:
        what = say("beyond {} the car could not be followed", acceleration(limits.farthest))
        return unknown("TIP-01", question, Kind.ACCELERATION, what, limits.farthest)
    return Check(
        "TIP-01",
        question,
        verdict(limits.farthest >= wanted),
        say(
            "{}; {} wanted: {} times the {} of its load that the road gives.",
            _ends(turn, _TURNS[which]),
            acceleration(wanted),
            Amount(safety.value, Kind.RATIO, fewer=1),
            Amount(friction, Kind.RATIO, fewer=1),
        ),
        Kind.ACCELERATION,
        limits.farthest,
        wanted,
        safety.origin,
        "at least",
        "a car that tips before it slides turns over in a swerve",
        "Lower it, widen its track, or stiffen it against roll; on swinging arms, hold the body down in droop.",
    )


def _ends(turn: ToLimit, name: str) -> Sentence:
    """How a turn ends, and which wheel lifts before."""
    limits = turn.limits
    at = acceleration(limits.farthest)
    if limits.manner is not None:
        ends = say(f"it {limits.manner.value} at {{}} in the {name} turn", at)
    else:
        ends = say("it stands on its wheels up to {}", at)
    if limits.first is None or limits.whole >= limits.farthest:
        return ends
    return say(f"{{}}, its inside {limits.first} wheel lifts at {{}}", ends, acceleration(limits.whole))


def _brisk_check(drive: Driven, brisk: Limit) -> Check:
    at = f"{drive.brisk / GRAVITY:g} g"
    question = f"Do the front tyres use more of their grip at {at}?"
    if any(turn.used is None for turn in drive.turns):
        known = any(turn.used is not None or turn.grip is not None for turn in drive.turns)
        rests = all(turn.limits.farthest >= drive.brisk for turn in drive.turns)
        what = f"the car does not come to rest at {at}" if known or not rests else _NO_LAW
        return unknown("GRP-01", question, Kind.SHARE, what, asks=_LAW if what is _NO_LAW else "")
    both = [turn.used for turn in drive.turns if turn.used is not None]
    worst = min((0, 1), key=lambda k: float(both[k][0] - both[k][1]))
    front, rear = (float(used) for used in both[worst])
    return Check(
        "GRP-01",
        question,
        verdict(front - rear >= 0.0),
        say(
            f"at {at} in the {_TURNS[worst]} turn the front uses {front * 100:.0f} % of its grip, the rear "
            f"{rear * 100:.0f} %."
        ),
        Kind.SHARE,
        front - rear,
        0.0,
        brisk.origin,
        "at least",
        "a rear axle that gives first makes the car spin when the driver lifts off",
        "Less roll stiffness behind or more in front, one step at a time.",
    )


def _limit_check(drive: Driven, reserve: Limit) -> Check:
    question = "Which end goes first at the limit of grip?"
    found = [(turn.grip, name) for turn, name in zip(drive.turns, _TURNS, strict=True) if turn.grip is not None]
    if len(found) < len(drive.turns):
        lost = next((turn.limits for turn in drive.turns if turn.used is not None and turn.grip is None), None)
        what: Sentence | str = _NO_LAW
        if lost is not None:
            what = say("the tyres still grip at {}, where the car finds no rest any more", acceleration(lost.farthest))
        return unknown("GRP-02", question, Kind.SHARE, what, asks=_LAW if what is _NO_LAW else "")
    grip, name = min(found, key=lambda one: float(one[0].used[0] - one[0].used[1]))
    front, rear = (float(used) for used in grip.used)
    end = "the front, which runs wide" if grip.front_first else "the rear, which comes round"
    return Check(
        "GRP-02",
        question,
        verdict(front - rear >= reserve.value),
        say(
            f"{end}, at {{}} in the {name} turn: front {front * 100:.1f} %, rear {rear * 100:.1f} % of its grip used.",
            acceleration(grip.across),
        ),
        Kind.SHARE,
        front - rear,
        reserve.value,
        reserve.origin,
        "at least",
        "a car whose rear gives first spins at the limit, where nobody is ready for it",
        "Less roll stiffness behind or more in front, one step at a time.",
    )


def _rubber_check(axle: str, drive: Driven, least: Limit) -> Check:
    question = f"From where does a turn press the {axle} on its bump rubbers?"
    if not drive.knows_rubbers(axle):
        what = "measure the gap to the bump stop"
        return unknown("RUB-01", question, Kind.ACCELERATION, what, asks=f"{axle}.bump_stop.gap")
    met = [
        (size, name) for turn, name in zip(drive.turns, _TURNS, strict=True) if (size := turn.rubbers[axle]) is not None
    ]
    if not met:
        farthest = min(turn.limits.farthest for turn in drive.turns)
        text = say("no rubber is met up to {}.", acceleration(farthest))
        return Check("RUB-01", question, Verdict.PASS, text, Kind.ACCELERATION)
    size, name = min(met)
    return Check(
        "RUB-01",
        question,
        verdict(size >= least.value),
        say(f"from {{}} in the {name} turn, {{}} wanted.", acceleration(size), acceleration(least.value)),
        Kind.ACCELERATION,
        size,
        least.value,
        least.origin,
        "at least",
        "an end that meets its rubbers stiffens at once and lets go first; in ordinary bends nobody expects that",
        "A lower bump stop, stiffer springs or anti-roll bar at this end, or lower it less.",
    )
