"""Set up: heights, cross weight, alignment and axle come out together on the finished car, within what a step is worth."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jounce.car.axles.layout_sections import SPRING_SECTION
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF, spring_kind
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.parts import TorsionBarSection
from jounce.checks.check import Check, Verdict, unknown, verdict
from jounce.checks.limits import CheckLimits, Limit
from jounce.conventions.axes import Corner, End
from jounce.conventions.units import MM, Kind
from jounce.job.apply import wishes_of
from jounce.job.document import JobDocument
from jounce.job.index.marks import finest_step
from jounce.job.plan import JobPlan, Wishes, height, value_of
from jounce.job.sentence import Amount, angle, length, say
from jounce.job.settings import QUARTER_TURN, bolt_of, joints_set
from jounce.job.shackles import LIFTS
from jounce.job.step_worth import half_steps_worth
from jounce.job.trailing_links import thrust_line
from jounce.layouts.adjusters import Aim
from jounce.layouts.naming import SIDES, SideName


def set_up_checks(job: JobDocument, document: CarDocument, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """All that the settings shall give, read where the finished car stands.

    Args:
        job: the change list
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    wishes = wishes_of(document, job)
    steps = height_steps(document, plan, wishes)
    for axle in AXLES:
        shackles = wishes.axles[axle].shackles
        holes = shackles is not None and shackles.step is not None
        most = 0.0 if holes else limits["most_seat_off"].value
        fixed = max(_off_unset(plan, axle, side, most) for side in SIDES)
        worth = (steps[0], steps[1] + fixed, limits["tape"].value)
        yield _height_check((axle, _sprung(document, axle)), plan, wishes, worth)
        yield _even_check((axle, document), plan, wishes, limits["most_uneven"])
    yield _cross_check(plan, wishes, limits["most_cross"])
    for axle in AXLES:
        for side in SIDES:
            yield from _angle_checks((axle, side), document, plan, wishes, limits["most_angle"])
        yield from _bump_check(axle, plan, limits["most_off_height"])
        yield from _thrust_check(axle, plan, wishes, limits["most_angle"])
    for axle in AXLES:
        yield from _centred_check(document, plan, axle, limits["most_off_centre"])
    yield _lamp_check(plan, limits["most_aim"])
    yield _valve_check(plan)


def height_steps(document: CarDocument, plan: JobPlan, wishes: Wishes | None = None) -> tuple[float | None, float]:
    """What half a step of the bars, and half a step of the seats, is worth at the wheels, the larger of both sides [m].

    A corner that misses by half a step leans the whole car, so a step of one end is felt at the other.

    Args:
        document: the planned car's document
        plan: what came out
        wishes: how far shackles of leaf springs go, and by which holes; none are set where left out

    Returns:
        None for bars whose splines are not known; nothing for what has no step, as a seat without a thread
    """
    bars: list[float | None] = [0.0]
    seats = [0.0]
    for axle in AXLES:
        for side in SIDES:
            one = document.axle(End(axle)).side(SIDE_OF[side])
            ratio = abs(plan.planned.axles[axle].wheels[side].motion_ratio)
            bar, perch = getattr(one, "torsion_bar", None), getattr(one, "perch", None)
            if bar is not None:
                turn = _half_turn(bar)
                bars.append(None if turn is None else turn / ratio)
            if perch is not None:
                seats.append(perch.pitch.value * QUARTER_TURN / ratio / 2)
            shackles = None if wishes is None else wishes.axles[axle].shackles
            if shackles is not None and shackles.step is not None:
                seats.append(LIFTS * shackles.step / ratio / 2)
    known = [step for step in bars if step is not None]
    return max(known) if len(known) == len(bars) else None, max(seats)


def _off_unset(plan: JobPlan, axle: AxleName, side: SideName, most: float) -> float:
    """What a seat without steps, on a block, on leaves as they come, on a shackle at its end, is off, as far as it may be.

    At the wheel [m]; nothing where a thread sets it.
    """
    seat = plan.settings[axle].seats.get(side)
    if seat is None or seat.wanted is None or seat.adjustable:
        return 0.0
    return min(abs(seat.wanted - seat.seat), most) / abs(plan.planned.axles[axle].wheels[side].motion_ratio)


def _half_turn(bar: TorsionBarSection) -> float | None:
    """Half a step of a bar; a bolt is set to quarter turns [rad]."""
    if bar.adjuster is not None:
        return bolt_of(bar).step * QUARTER_TURN / 2
    if bar.splines_arm is None or bar.splines_anchor is None:
        return None
    return finest_step(bar.splines_arm, bar.splines_anchor) / 2


def _sprung(document: CarDocument, axle: AxleName) -> str:
    """Section of an axle's springs whose splines or free length may be unknown."""
    return SPRING_SECTION[spring_kind(document.axle(End(axle)))]


def _height_check(
    which: tuple[AxleName, str], plan: JobPlan, wishes: Wishes, steps: tuple[float | None, float, float]
) -> Check:
    """Heights against what the steps of the adjusters are worth.

    Bars without spline counts are planned to any turn: a car that is off all the same is off by something else.
    """
    axle, sprung = which
    question = f"Does the {axle} stand where it was wanted?"
    misses = {side: plan.planned.sits.travel[axle, side] - wishes.lower[axle, side] for side in SIDES}
    worst = max(map(abs, misses.values()))
    text = say("left {}, right {} from the height wanted", *(length(-m, sign=True, fine=True) for m in misses.values()))
    bars, seats, tape = steps
    limit = (bars or 0.0) + seats + tape
    missing = asks = ""
    if bars is None:
        at = axle if sprung == "torsion_bar" else next(end for end in AXLES if plan.settings[end].bars)
        missing, asks = "count the splines of the bars", f"{at}.torsion_bar.splines_arm"
    elif any(seat.wanted is None for seat in plan.settings[axle].seats.values()):
        key = "free_length" if sprung == "spring" else "free_camber"
        missing, asks = f"measure the new springs' {key.replace('_', ' ')}", f"change.{axle}.{sprung}.{key}"
    if missing and worst <= limit:
        return unknown("HGT-01", question, Kind.LENGTH, say("{}; {}", text, missing), worst, asks)
    told = say("{}; steps of bars and seats are worth {}.", text, length(limit - tape, fine=True))
    todo = "Other springs, seats with more thread, or another height."
    if worst > limit and plan.at_odds is not None and plan.at_odds.telling:
        twist = length(plan.at_odds.each, fine=True)
        told = say("{} Heights and cross weight that contradict each other take {} at a corner.", told, twist)
        if worst <= limit + plan.at_odds.each:
            todo = (
                "Ask for heights and cross weight that go together, as the settings tell: no other springs give these."
            )
    return Check(
        "HGT-01",
        question,
        verdict(worst <= limit),
        told,
        Kind.LENGTH,
        worst,
        limit,
        "half a step of each adjuster, and what a tape misreads",
        "at most",
        "beyond what a step is worth the height was not to be had with these parts",
        todo,
    )


def _even_check(which: tuple[str, CarDocument], plan: JobPlan, wishes: Wishes, limit: Limit) -> Check:
    """Left and right heights against each other, beyond the difference that was asked for."""
    axle, document = which
    left, right = (height(document, plan.planned, (axle, side)) for side in SIDES)
    found = [
        height(document, plan.planned, (axle, side)) + plan.planned.sits.travel[axle, side] - wishes.lower[axle, side]
        for side in SIDES
    ]
    off = abs((left - right) - (found[0] - found[1]))
    return Check(
        "HGT-02",
        f"Are left and right {axle} heights as asked for?",
        verdict(off <= limit.value),
        say(
            "left less right {}, {} asked for.",
            length(left - right, sign=True, fine=True),
            length(found[0] - found[1], sign=True, fine=True),
        ),
        Kind.LENGTH,
        off,
        limit.value,
        limit.origin,
        "at most",
        "a car that hangs to one side looks wrong and carries cross weight",
        "Another index of one bar, or seats turned against each other.",
    )


def _cross_check(plan: JobPlan, wishes: Wishes, limit: Limit) -> Check:
    share = plan.planned.sits.cross_share
    off = abs(share - wishes.cross_share)
    return Check(
        "XWT-01",
        "Is the cross weight as wanted?",
        verdict(off <= limit.value),
        say(f"{share * 100:.2f} %, {wishes.cross_share * 100:.2f} % wanted."),
        Kind.SHARE,
        off,
        limit.value,
        limit.origin,
        "at most",
        "cross weight makes left and right turns differ",
        "Raise the seat of the corner that carries too little and lower its neighbours.",
    )


def _angle_checks(
    corner: Corner, document: CarDocument, plan: JobPlan, wishes: Wishes, limit: Limit
) -> Iterator[Check]:
    axle, side = corner
    angles = wishes.axles[axle].angles
    joints = joints_set(document.axle(End(axle)), angles)
    aims: tuple[Aim, ...] = ("camber", "toe", "caster")
    for name in aims:
        of_side = angles.of(name)
        if of_side is None:
            continue
        wanted = of_side[side]
        value = value_of(plan.planned.geometry[axle], f"{side}_{name}")
        question = f"Is the {side} {axle} {name} as wanted?"
        if value is None:
            yield unknown("ALN-01", question, Kind.ANGLE, f"the {name} does not exist in this layout")
            continue
        most = limit.value
        if abs(value - wanted) > most:
            most = max(most, half_steps_worth(plan, corner, joints, angles, most)[name])
        lack = next((one for one in plan.short if (one.axle, one.side, one.wish) == (axle, side, name)), None)
        yield Check(
            "ALN-01",
            question,
            verdict(abs(value - wanted) <= most),
            say("{}, {} wanted.", angle(value, sign=True), angle(wanted, sign=True)) if lack is None else lack.told(),
            Kind.ANGLE,
            abs(value - wanted),
            most,
            limit.origin if most == limit.value else "half a step of what sets it",
            "at most",
            "what moves the upper joints and what sets the toe have to give all angles together",
            "Set camber and caster first, then toe, and measure again."
            if lack is None
            else "Something that sets it farther, or ask for less.",
        )


def _thrust_check(axle: AxleName, plan: JobPlan, wishes: Wishes, limit: Limit) -> Iterator[Check]:
    """Where an axle points whose trailing links set it."""
    links, wish = plan.settings[axle].trailing, wishes.axles[axle].trailing
    toes = [value_of(plan.planned.geometry[axle], f"{side}_toe") for side in SIDES]
    if links is None or wish is None or None in toes:
        return
    left, right = (toe or 0.0 for toe in toes)
    points = thrust_line(left, right)
    off = abs(points - wish.thrust)
    lack = next((one for one in plan.short if (one.axle, one.wish) == (axle, "thrust line")), None)
    turned = abs(wish.thrust - links.thrust_if_left) / abs(links.apart_needed) if links.apart_needed else 0.0
    half = 0.0 if wish.pitch is None else turned * wish.pitch * QUARTER_TURN / 2
    most = max(limit.value, half)
    yield Check(
        "ALN-01",
        f"Is the {axle} thrust line as wanted?",
        verdict(off <= most),
        say("{} to the left, {} wanted.", angle(points, sign=True), angle(wish.thrust, sign=True))
        if lack is None
        else lack.told(),
        Kind.ANGLE,
        off,
        most,
        limit.origin if most == limit.value else "half a quarter turn of the links",
        "at most",
        "an axle that points to one side makes the car crab",
        "Links with more thread, or another place of their brackets.",
    )


def _bump_check(axle: AxleName, plan: JobPlan, limit: Limit) -> Iterator[Check]:
    """Bump steer that was wanted: within what half a shim is worth, or the least height that counts."""
    bump = plan.settings[axle].bump_steer
    if bump is None:
        return
    off = abs(bump.reached - bump.wanted)
    most = abs(bump.slope) * max(bump.step / 2, limit.value)
    lack = next((one for one in plan.short if (one.axle, one.wish) == (axle, "bump steer")), None)
    both = (Amount(one, Kind.RATIO_ANGLE, sign=True) for one in (bump.reached, bump.wanted))
    yield Check(
        "ALN-03",
        f"Is the {axle} bump steer as wanted?",
        verdict(off <= most),
        say("{}, {} wanted.", *both) if lack is None else lack.told(),
        Kind.RATIO_ANGLE,
        off,
        most,
        "half a shim or spacer" if bump.step > 2 * limit.value else limit.origin,
        "at most",
        "wheels that toe in and out over bumps wander",
        "Finer shims, another height of rack or joints, or ask for less.",
    )


def _centred_check(document: CarDocument, plan: JobPlan, axle: str, most: Limit) -> Iterator[Check]:
    """Whether a beam axle is in the middle; an axle without a beam has no middle of its own."""
    geometry = plan.planned.geometry[axle]
    if all(column.name != "axle_shift" for column in geometry.columns):
        return
    shift = value_of(geometry, "axle_shift") or 0.0
    lack = next((one for one in plan.short if (one.axle, one.wish) == (axle, "middle of the axle")), None)
    pitch = getattr(getattr(document.axle(End(axle)), "panhard", None), "thread_pitch", None)
    limit = most.value if pitch is None else max(pitch.value * QUARTER_TURN, 1e-4)
    yield Check(
        "AXS-01",
        f"Is the {axle} axle in the middle?",
        verdict(abs(shift) <= limit),
        say("{} to the {}.", length(abs(shift), fine=True), "left" if shift > 0 else "right")
        if lack is None
        else lack.told(),
        Kind.LENGTH,
        abs(shift),
        limit,
        most.origin if pitch is None else "a quarter turn of the rod",
        "at most",
        "an axle beside the middle makes the car crawl sideways",
        "An adjustable rod or bracket, or another place of it.",
    )


def _lamp_check(plan: JobPlan, limit: Limit) -> Check:
    """Pitch of the body moves the beams; within the usual range of their setting it is told, beyond it they are off."""
    change = math.tan(plan.planned.sits.pitch - plan.found.sits.pitch)
    way = "lower" if change > 0 else "higher"
    text = f"the beams point {abs(change) * 100:.2f} % {way}; aim them last."
    good = abs(change) <= limit.value
    return Check(
        "LMP-01",
        "Is the lamps' aim kept?",
        Verdict.PASS if good else Verdict.UNKNOWN,
        say(text if good else f"unknown: {text} Measure them with the driver aboard."),
        Kind.SHARE,
        abs(change),
        limit.value,
        limit.origin,
        "at most",
        "beams that point up dazzle, beams that point down do not reach",
        "Aim the lamps.",
    )


def _valve_check(plan: JobPlan) -> Check:
    """A load-sensing brake valve reads the rear height as load."""
    change = sum(plan.planned.sits.travel["rear", side] - plan.found.sits.travel["rear", side] for side in SIDES) / 2
    question = "Does a load-sensing brake valve still read the load?"
    if abs(change) < MM:
        text = say("the rear stands as high as before.")
        return Check("LSV-01", question, Verdict.PASS, text, Kind.LENGTH, change)
    way, looks = ("lower", "loaded") if change > 0 else ("higher", "empty")
    what = say(
        "where there is one the rear stands {} {}, and the car looks {} to it; measure and reset it by the maker's manual",
        length(abs(change)),
        way,
        looks,
    )
    return unknown("LSV-01", question, Kind.LENGTH, what, change)
