"""Room for the tyre at full lock: what new wheels, new tyres and the planned height take from the gap that was read."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from jounce.behaviour.axle.motions import place_axle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.parts.changed import WheelChange
from jounce.car.parts.room import FullLockAt
from jounce.checks.check import Check, Verdict, unknown
from jounce.checks.limits import CheckLimits
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.conventions.units import Kind
from jounce.job.document import JobDocument
from jounce.job.plan import CarState, JobPlan
from jounce.job.sentence import length, say
from jounce.layouts.naming import SIDES, SideName, named, outward
from jounce.numerics.arrays import Array

__all__ = ["taken_at_lock", "wheel_checks"]

_AHEAD = {"inner front": 1.0, "inner rear": -1.0}
_SAME = 1e-9  # wheel centres closer than this are one place [m]


def wheel_checks(job: JobDocument, document: CarDocument, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """Room at full lock in front, on both sides, and where new rear wheels stand.

    Args:
        job: the change list
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    change = job.change.front.wheel
    for side in SIDES:
        read = document.front.side(SIDE_OF[side]).clearance.full_lock_gap
        if change is not None or read is not None:
            yield _lock_check(change, document, plan, side, limits)
    change = job.change.rear.wheel
    if change is not None and change.offset is not None:
        question, moved = "Where do the new rear wheels stand?", _outward(plan, "left", 1)
        if abs(moved) < _SAME:
            what = "measure the present wheel's offset; the wheel centre was left where it is"
            yield unknown("WHL-01", question, Kind.LENGTH, what, asks="rear.wheel.offset")
        else:
            told = say("{} outward; look at the room to arch and brake, up and down", length(moved, sign=True))
            yield unknown("WHL-01", question, Kind.LENGTH, told, moved)


def _lock_check(
    change: WheelChange | None, document: CarDocument, plan: JobPlan, side: SideName, limits: CheckLimits
) -> Check:
    question, least = f"Has the {side} front tyre room at full lock?", limits["least_lock_gap"]
    missing = _missing(change, document, plan, side)
    if missing is not None:
        return unknown("WHL-01", question, Kind.LENGTH, missing[0], asks=missing[1])
    clearance, rack = document.front.side(SIDE_OF[side]).clearance, _rack(document)
    gap, at = clearance.full_lock_gap, clearance.full_lock_at
    if gap is None or rack is None:
        raise TypeError("what is missing was told before")
    places: tuple[FullLockAt, ...] = ("inner front", "inner rear", "strut") if at is None else (at,)
    left = gap.value - max(taken_at_lock(plan, side, place, rack) for place in places)
    out = max(_outward(plan, side), 0.0)
    wide = SHOWN_PER_TYPED * gap.plus_minus
    where = "where it is least" if at is None else f"at the {at}" if at == "strut" else f"at the tyre's {at}"
    if left >= least.value > gap.value - out:
        told = say(
            "{} left {}, but the tyre comes {} further out than that was read for; look at the arch's edge at both locks",
            length(left),
            where,
            length(out),
        )
        return unknown("WHL-01", question, Kind.LENGTH, told, left)
    return Check(
        "WHL-01",
        question,
        Verdict.PASS if left >= least.value else Verdict.FAIL,
        say(
            "{} left {} (± {}), {} wanted; turn it from lock to lock, loaded, before it is driven.",
            length(left),
            where,
            length(wide),
            length(least.value),
        ),
        Kind.LENGTH,
        left,
        least.value,
        least.origin,
        "at least",
        "a tyre that rubs at full lock is cut, or holds the steering",
        "Another offset or a narrower tyre, a stop on the rack, or less lowering.",
    )


def _missing(
    change: WheelChange | None, document: CarDocument, plan: JobPlan, side: SideName
) -> tuple[str, str] | None:
    """What has to be measured first, and where it belongs in the car file."""
    if change is not None:
        if change.offset is not None and abs(_outward(plan, side)) < _SAME:
            return _OFFSET
        if change.tyre is not None and (change.tyre_width is None or change.loaded_radius is None):
            return "give the new tyre's width and loaded radius in the job", ""
    if document.front.side(SIDE_OF[side]).clearance.full_lock_gap is None:
        what = "read the least gap of the tyre at full lock"
        if change is not None and change.tyre_width is not None:
            what += ", and measure the present tyre's width"
        return what, "front.clearance.full_lock_gap"
    return None if _rack(document) is not None else ("measure the rack's travel", "front.steering.rack_travel")


_OFFSET = ("measure the present wheel's offset; the wheel centre was left where it is", "front.wheel.offset")


def _rack(document: CarDocument) -> float | None:
    steering = getattr(document.front, "steering", None)
    return None if steering is None else float(steering.rack_travel.value)


def _outward(plan: JobPlan, side: SideName, axle: int = 0) -> float:
    """How far a new wheel's middle stands further out on its hub [m]."""
    was, now = (state.models[axle].linkage.wheels[side].centre.at[1] for state in (plan.found, plan.planned))
    return outward(side) * float(now - was)


def taken_at_lock(plan: JobPlan, side: SideName, place: FullLockAt, rack: float) -> float:
    """What the planned wheel and height take at most from a gap at full lock; a tyre's width is not in it [m].

    What stands at the strut steers and travels with the wheel: offset and radius alone count there. The body stands
    still: there the tyre's edge at hub height is followed, forward or rearward and inward, the body's wall beside it
    taken as upright.

    Args:
        plan: what came out
        side: which wheel
        place: where the gap is
        rack: the rack's travel to each side [m]
    """
    if place == "strut":
        larger, inward = _radius(plan.planned, side) - _radius(plan.found, side), -_outward(plan, side)
        return inward if larger <= 0 else math.hypot(max(inward, 0.0), larger)
    ahead = _AHEAD[place]
    was, now = (_edges(state, side, ahead, rack) for state in (plan.found, plan.planned))
    lock = int(np.argmin(outward(side) * was[:, 1]))  # the lock at which that edge swings in
    forward, left = now[lock] - was[lock]
    return math.hypot(max(ahead * float(forward), 0.0), max(-outward(side) * float(left), 0.0))


def _edges(state: CarState, side: SideName, ahead: float, rack: float) -> Array:
    """Foremost or rearmost place of a wheel at hub height, at both locks, shape (2, 2) [m]."""
    model, states = state.models[0], state.states["front"]
    placed = place_axle(model.stand, "front", replace(states, rack=np.array([-rack, rack])))
    names = [named("front", side, thing) for thing in ("wheel_x", "wheel_y", "steer")]
    x, y, steer = model.stand.taken(names).values(placed.pose).T
    radius = ahead * _radius(state, side)
    return np.stack((x + radius * np.cos(steer), y + radius * np.sin(steer)), -1)


def _radius(state: CarState, side: SideName) -> float:
    return float(np.ravel(state.models[0].linkage.wheels[side].loaded_radius)[0])
