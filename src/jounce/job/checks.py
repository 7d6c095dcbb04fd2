"""Does it fit, does it last, can it be set: each check a value, a limit, a margin and a plain sentence."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

import numpy as np

from jounce.behaviour.reach import Met, first_hard
from jounce.behaviour.sits import spring_wound
from jounce.behaviour.stack_states import stack_states
from jounce.car.beam_panhard import BeamPanhardAxle
from jounce.car.coil_stack import coil_stack
from jounce.car.document import CarDocument
from jounce.car.parts import TorsionBar
from jounce.car.strut_torsion_bar import StrutTorsionBarAxle
from jounce.car.torsion_bars import stress_limit, torsion_bar
from jounce.conventions.axes import Side
from jounce.conventions.units import Kind
from jounce.job.document import JobDocument
from jounce.job.plan import Plan
from jounce.layouts.naming import SIDES, SideName

_SIDE = {"left": Side.LEFT, "right": Side.RIGHT}
LEAST_FREE_BUMP = 0.010  # free travel to the rubber, common practice, no source [m]
LEAST_BUMP = 0.045  # travel to solid of a lowered car, common practice, no source [m]


class Verdict(Enum):
    """How a check ends."""

    PASS = "pass"  # noqa: S105  (a verdict, no password)
    FAIL = "FAIL"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Check:
    """One question and its answer; ``value`` and ``limit`` are SI, None when unknown."""

    code: str
    question: str
    verdict: Verdict
    sentence: str
    kind: Kind
    value: float | None = None
    limit: float | None = None
    source: str = ""


def run_checks(job: JobDocument, document: CarDocument, plan: Plan) -> list[Check]:
    """All checks of the planned car.

    Args:
        job: the change list
        document: the planned car's document
        plan: what came out
    """
    checks: list[Check] = []
    if isinstance(document.front, StrutTorsionBarAxle):
        checks += _bar_checks(document.front, plan)
        checks += _plate_checks(job, plan)
    if isinstance(document.rear, BeamPanhardAxle):
        checks += _coil_checks(document.rear, plan)
        checks.append(_rod_check(document.rear, plan))
    for axle in ("front", "rear"):
        checks += _travel_checks(axle, plan)
        checks += _room_checks(axle, document, plan)
    checks.append(_clearance_check(document, plan))
    return checks + list(_wheel_checks(job, plan))


def _wheel_checks(job: JobDocument, plan: Plan) -> Iterator[Check]:
    """New wheels only move the wheel centre when both offsets are known."""
    for axle, change in (("front", job.change.front.wheel), ("rear", job.change.rear.wheel)):
        if change is None or change.offset is None:
            continue
        k = 0 if axle == "front" else 1
        was, now = (state.models[k].linkage.wheels["left"].centre.at[1] for state in (plan.found, plan.planned))
        moved = float(now - was)
        question = f"Where do the new {axle} wheels stand?"
        if abs(moved) < 1e-9:
            text = "unknown: measure the present wheel's offset; the wheel centre was left where it is."
            yield Check("WHL-01", question, Verdict.UNKNOWN, text, Kind.LENGTH)
        else:
            text = f"{moved * 1e3:+.0f} mm outward; check the room to arch, strut and brake at full lock."
            yield Check("WHL-01", question, Verdict.PASS, text, Kind.LENGTH, moved)


def _end_of_travel(plan: Plan, axle: str, at: str) -> Met | None:
    """What ends the travel; None when no part's own limit is known, so that only the bare linkage would end it."""
    model = next(model for model in plan.planned.models if model.name == axle)
    if not any(stop.hard and stop.at == at for stop in model.stops):
        return None
    return first_hard(plan.planned.stops[axle], at)


def _bar_checks(section: StrutTorsionBarAxle, plan: Plan) -> Iterator[Check]:
    for side in SIDES:
        one = section.side(_SIDE[side])
        bar = one.torsion_bar
        question = f"Does the {side} torsion bar bear full bump?"
        end = _end_of_travel(plan, "front", "bump")
        if end is None:
            text = "unknown: measure the damper's closed length or the bump stop, so that full bump is known."
            yield Check("BAR-01", question, Verdict.UNKNOWN, text, Kind.STRESS)
        else:
            model = plan.planned.models[0]
            wound = spring_wound(model, side, plan.planned.states["front"], -end.travel)
            stress = float(torsion_bar(one.torsion_bar).shear_stress(model.main[side].law.force(np.array([wound])))[0])
            yield _stress_check(question, stress, f"full bump ({end.name})", bar)
        yield _loose_check("BAR-02", f"Is the {side} torsion bar still wound up at full droop?", "front", side, plan)


def _stress_check(question: str, stress: float, where: str, bar: TorsionBar) -> Check:
    limit, source = stress_limit(bar)
    if limit is None:
        text = f"unknown: {stress / 1e6:.0f} MPa at {where}; {source}: give the maker's stress_limit."
        return Check("BAR-01", question, Verdict.UNKNOWN, text, Kind.STRESS, stress)
    good = stress <= limit
    text = (
        f"{stress / 1e6:.0f} MPa at {where}, limit {limit / 1e6:.0f} MPa."
        if good
        else f"{stress / 1e6:.0f} MPa at {where} exceeds {limit / 1e6:.0f} MPa: a thicker bar or a higher stop."
    )
    return Check("BAR-01", question, _verdict(good), text, Kind.STRESS, stress, limit, source)


def _loose_check(code: str, question: str, axle: str, side: SideName, plan: Plan) -> Check:
    loose = plan.planned.axles[axle].wheels[side].loose_at
    end = _end_of_travel(plan, axle, "droop")
    if end is None and loose is None:
        return Check(code, question, Verdict.PASS, "loaded as far down as the linkage goes.", Kind.LENGTH)
    if end is None:
        text = "unknown: measure the damper's open length, so that full droop is known."
        return Check(code, question, Verdict.UNKNOWN, text, Kind.LENGTH, loose)
    if loose is None or loose > end.travel:
        spare = "" if loose is None else f", slack only beyond {loose * 1e3:.0f} mm"
        text = f"loaded to the end of droop at {end.travel * 1e3:.0f} mm{spare}."
        return Check(code, question, Verdict.PASS, text, Kind.LENGTH, loose, end.travel, "springs must stay captive")
    text = (
        f"slack from {loose * 1e3:.0f} mm of droop, full droop is {end.travel * 1e3:.0f} mm ({end.name}): "
        "a shorter damper, a helper spring or a softer spring."
    )
    return Check(code, question, Verdict.FAIL, text, Kind.LENGTH, loose, end.travel, "springs must stay captive")


def _coil_checks(section: BeamPanhardAxle, plan: Plan) -> Iterator[Check]:
    for side in SIDES:
        one = section.side(_SIDE[side])
        yield _loose_check("SPR-01", f"Is the {side} rear coil still seated at full droop?", "rear", side, plan)
        perch = plan.perches[side]
        question = f"Does the {side} perch reach the wanted height?"
        if perch.wanted is None:
            text = "unknown: measure the new spring's free length."
            yield Check("PER-01", question, Verdict.UNKNOWN, text, Kind.LENGTH)
        elif not perch.adjustable:
            good = abs(perch.wanted) <= 0.003
            text = f"the seat would have to be {perch.wanted * 1e3:+.1f} mm from where it is, and there is no perch."
            yield Check("PER-01", question, _verdict(good), text, Kind.LENGTH, perch.wanted, 0.0)
        else:
            miss = perch.wanted - perch.seat
            good = one.perch is not None and abs(miss) <= one.perch.pitch.value / 2
            text = f"seat wanted at {perch.wanted * 1e3:+.1f} mm, set to {perch.seat * 1e3:+.1f} mm."
            yield Check("PER-01", question, _verdict(good), text, Kind.LENGTH, perch.wanted, perch.seat)
        stack = coil_stack(one.spring)
        yield _bind_check(None if stack.solid_length is None else float(stack.solid_length[0]), side, plan)
        if one.spring.helper is not None:
            yield _helper_check(side, plan)


def _helper_check(side: SideName, plan: Plan) -> Check:
    """A helper spring that still moves where the car stands makes it far softer than its main spring."""
    states = stack_states(plan.planned.models[1], plan.planned.states["rear"])
    mine = {state.at: state for state in states if state.side == side}
    text = "; ".join(f"{place}: {state.words}" for place, state in mine.items()) + "."
    question = f"Is the {side} rear helper spring solid where the car stands?"
    return Check("SPR-03", question, _verdict(mine["rest"].solid["helper"]), text, Kind.FORCE, mine["rest"].force)


def _bind_check(solid: float | None, side: SideName, plan: Plan) -> Check:
    question = f"Does the {side} rear coil keep clear of binding at full bump?"
    end = _end_of_travel(plan, "rear", "bump")
    if solid is None or end is None:
        what = "the spring's solid length" if solid is None else "the damper's closed length or the bump stop"
        return Check("SPR-02", question, Verdict.UNKNOWN, f"unknown: measure {what}.", Kind.LENGTH)
    model, state = plan.planned.models[1], plan.planned.states["rear"]
    wound = spring_wound(model, side, state, -end.travel) - spring_wound(model, side, state, 0.0)
    table = {c.name: float(c.values[0]) for c in plan.planned.geometry["rear"].columns}
    length = table[f"{side}_spring_length"] - plan.perches[side].seat - wound
    good = length > solid
    text = f"{length * 1e3:.0f} mm long at full bump ({end.name}), solid at {solid * 1e3:.0f} mm."
    return Check("SPR-02", question, _verdict(good), text, Kind.LENGTH, length, solid)


def _rod_check(section: BeamPanhardAxle, plan: Plan) -> Check:
    rod, panhard = plan.rod, section.panhard
    question = "Can the Panhard rod centre the axle?"
    if panhard.shortest is None or panhard.longest is None:
        text = (
            f"the rod is not adjustable; left alone the axle stands {abs(rod.shift_if_left) * 1e3:.1f} mm to the "
            f"{'left' if rod.shift_if_left > 0 else 'right'}."
        )
        return Check("PAN-01", question, _verdict(abs(rod.shift_if_left) < 0.005), text, Kind.LENGTH, rod.shift_if_left)
    good = panhard.shortest.value <= rod.centring_length <= panhard.longest.value
    text = f"{rod.centring_length * 1e3:.1f} mm centres it; the rod goes from {panhard.shortest.value * 1e3:.0f} to "
    text += f"{panhard.longest.value * 1e3:.0f} mm."
    return Check("PAN-01", question, _verdict(good), text, Kind.LENGTH, rod.centring_length, panhard.longest.value)


def _plate_checks(job: JobDocument, plan: Plan) -> Iterator[Check]:
    plate = job.change.front.top_plate
    if plate is not None and plate.rearward.value:
        rearward = plate.rearward.value
        way, reach = ("rearward", plate.reach_rear) if rearward > 0 else ("forward", plate.reach_fore)
        question = f"Do the top plates reach the {way} position?"
        if reach is None:
            text = f"unknown: the plates go {abs(rearward) * 1e3:.1f} mm {way}; measure their slots."
            yield Check("PLT-02", question, Verdict.UNKNOWN, text, Kind.LENGTH, rearward)
        else:
            text = f"{abs(rearward) * 1e3:.1f} mm {way}, reach {reach.value * 1e3:.0f} mm."
            good = abs(rearward) <= reach.value
            yield Check("PLT-02", question, _verdict(good), text, Kind.LENGTH, rearward, reach.value)
    for side in SIDES:
        inward = plan.wheels[side].plate_inward
        if abs(inward) < 1e-6:
            continue
        question = f"Does the {side} top plate reach the camber wanted?"
        reach = None if plate is None else (plate.reach_inward if inward > 0 else plate.reach_outward)
        if reach is None:
            text = f"unknown: the plate has to move {inward * 1e3:+.1f} mm inward; measure its slots."
            yield Check("PLT-01", question, Verdict.UNKNOWN, text, Kind.LENGTH, inward)
            continue
        text = f"{abs(inward) * 1e3:.1f} mm {'inward' if inward > 0 else 'outward'}, reach {reach.value * 1e3:.0f} mm."
        yield Check("PLT-01", question, _verdict(abs(inward) <= reach.value), text, Kind.LENGTH, inward, reach.value)


def _travel_checks(axle: str, plan: Plan) -> Iterator[Check]:
    rubber = next((stop for stop in plan.planned.stops[axle] if stop.name == "bump rubber touches"), None)
    end = _end_of_travel(plan, axle, "bump")
    question = f"Is there free bump travel at the {axle}?"
    if rubber is None:
        text = "unknown: measure the gap to the bump stop."
        yield Check("TRV-01", question, Verdict.UNKNOWN, text, Kind.LENGTH)
    else:
        good = rubber.travel >= LEAST_FREE_BUMP
        text = f"{rubber.travel * 1e3:.0f} mm to the rubber, {LEAST_FREE_BUMP * 1e3:.0f} mm wanted."
        yield Check(
            "TRV-01", question, _verdict(good), text, Kind.LENGTH, rubber.travel, LEAST_FREE_BUMP, "common practice"
        )
    question = f"Is there enough bump travel in all at the {axle}?"
    if end is None:
        text = "unknown: measure the damper's closed length."
        yield Check("TRV-02", question, Verdict.UNKNOWN, text, Kind.LENGTH)
    else:
        good = end.travel >= LEAST_BUMP
        text = f"{end.travel * 1e3:.0f} mm until {end.name}, {LEAST_BUMP * 1e3:.0f} mm wanted."
        yield Check("TRV-02", question, _verdict(good), text, Kind.LENGTH, end.travel, LEAST_BUMP, "common practice")


_ROOM = {
    "tyre meets arch": ("ARC-01", "Does the tyre clear the arch at full bump?", "bump", "tyre_to_arch"),
    "brake hose tight": ("HOS-01", "Is the brake hose long enough at full droop?", "droop", "brake_hose_droop"),
}


def _room_checks(axle: str, document: CarDocument, plan: Plan) -> Iterator[Check]:
    section = document.front if axle == "front" else document.rear
    for name, (code, question, at, key) in _ROOM.items():
        asked = question.replace("?", f" ({axle})?")
        if getattr(section.side(Side.LEFT).clearance, key) is None:
            text = f"unknown: measure {axle} clearance.{key}."
            yield Check(code, asked, Verdict.UNKNOWN, text, Kind.LENGTH)
            continue
        end = _end_of_travel(plan, axle, at)
        met = next((stop for stop in plan.planned.stops[axle] if stop.name == name), None)
        if met is None:
            yield Check(code, asked, Verdict.PASS, f"not met within 200 mm of {at}.", Kind.LENGTH)
        elif end is None:
            length = "closed" if at == "bump" else "open"
            text = f"unknown: met at {met.travel * 1e3:.0f} mm of {at}; measure the damper's {length} length."
            yield Check(code, asked, Verdict.UNKNOWN, text, Kind.LENGTH, met.travel)
        else:
            text = (
                f"met only at {met.travel * 1e3:.0f} mm of {at}, which ends at {end.travel * 1e3:.0f} mm ({end.name})."
            )
            good = met.travel > end.travel
            text = text if good else text.replace("met only", "met already")
            yield Check(code, asked, _verdict(good), text, Kind.LENGTH, met.travel, end.travel)


def _clearance_check(document: CarDocument, plan: Plan) -> Check:
    question = "Is there ground clearance enough?"
    limits = document.limits
    found, least = limits.ground_clearance, limits.minimum_ground_clearance
    if found is None or least is None:
        what = "the lowest point's clearance as found" if found is None else "the local minimum"
        return Check("GND-01", question, Verdict.UNKNOWN, f"unknown: enter {what} under [limits].", Kind.LENGTH)
    drop = max(plan.planned.sits.travel.values())  # of the corner that comes down most: on the safe side
    left = found.value - drop
    text = f"about {left * 1e3:.0f} mm under the lowest point, {least.value * 1e3:.0f} mm asked for."
    return Check("GND-01", question, _verdict(left >= least.value), text, Kind.LENGTH, left, least.value, "as entered")


def _verdict(good: bool) -> Verdict:  # noqa: FBT001
    return Verdict.PASS if good else Verdict.FAIL


def worst(checks: list[Check]) -> Verdict:
    """FAIL if one fails, else unknown if one is unknown, else pass."""
    for verdict in (Verdict.FAIL, Verdict.UNKNOWN):
        if any(check.verdict is verdict for check in checks):
            return verdict
    return Verdict.PASS
