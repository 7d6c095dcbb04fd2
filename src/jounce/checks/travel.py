"""Travel left in bump and droop, what of the standard travel is kept, and which part stops the wheel first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from jounce.behaviour.axle.reach import StopContact
from jounce.car.mechanics.stops import RUBBER
from jounce.checks.check import Check, Verdict, unknown, verdict
from jounce.checks.ends_of_travel import end_of_travel
from jounce.checks.limits import CheckLimits, Limit
from jounce.conventions.units import Kind
from jounce.job.plan import CarState, JobPlan
from jounce.job.sentence import Amount, Sentence, length, say
from jounce.layouts.naming import SIDES, SideName


def travel_checks(axle: str, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """Checks of one axle, both wheels moving together.

    Args:
        axle: "front" or "rear"
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    yield _free_check(axle, plan, limits["least_free_bump"])
    yield _bump_check(axle, plan, limits["least_bump"])
    yield _kept_check(axle, plan, limits["least_kept"])
    yield _bump_kept_check(axle, plan, limits["least_bump_kept"])
    yield _rebound_check(axle, plan, limits["least_rebound"])
    yield _order_check(axle, plan)


def travel_kept(plan: JobPlan, axle: str) -> float | None:
    """Bump and droop of the planned car over that as found, None where an end is not known [-].

    Args:
        plan: what came out
        axle: "front" or "rear"
    """
    was, is_ = (_whole(state, axle) for state in (plan.found, plan.planned))
    return None if was is None or is_ is None or was <= 0 else is_ / was


def _whole(state: CarState, axle: str) -> float | None:
    ends = [end_of_travel(state, axle, at) for at in ("bump", "droop")]
    travels = [end.travel for end in ends if end is not None]
    return sum(travels) if len(travels) == 2 else None


def _end_missing(plan: JobPlan, axle: str) -> str:
    """Which length of the damper would tell an end of the travel that is not known."""
    bump = [end_of_travel(state, axle, "bump") for state in (plan.found, plan.planned)]
    return f"{axle}.damper.{'closed' if None in bump else 'open'}_length"


def _free_check(axle: str, plan: JobPlan, limit: Limit) -> Check:
    rubber = next((stop for stop in plan.planned.stops[axle] if stop.name == RUBBER), None)
    question = f"Is there free bump travel at the {axle}?"
    if rubber is None:
        return unknown(
            "TRV-01", question, Kind.LENGTH, "measure the gap to the bump stop", asks=f"{axle}.bump_stop.gap"
        )
    return Check(
        "TRV-01",
        question,
        verdict(rubber.travel >= limit.value),
        say("{} to the rubber, {} wanted.", length(rubber.travel), length(limit.value)),
        Kind.LENGTH,
        rubber.travel,
        limit.value,
        limit.origin,
        "at least",
        "a car that stands on its rubbers rides hard and changes its balance as it rolls",
        "A lower bump stop or a shorter damper, or lower it less.",
    )


def _bump_check(axle: str, plan: JobPlan, limit: Limit) -> Check:
    question = f"Is there enough bump travel in all at the {axle}?"
    end = end_of_travel(plan.planned, axle, "bump")
    if end is None:
        return unknown(
            "TRV-02", question, Kind.LENGTH, "measure the damper's closed length", asks=f"{axle}.damper.closed_length"
        )
    return Check(
        "TRV-02",
        question,
        verdict(end.travel >= limit.value),
        say("{} until {}, {} wanted.", length(end.travel), end.name, length(limit.value)),
        Kind.LENGTH,
        end.travel,
        limit.value,
        limit.origin,
        "at least",
        "with less the car strikes its stops on ordinary roads",
        "A shorter damper or bump stop, stiffer springs, or lower it less.",
    )


def _kept_check(axle: str, plan: JobPlan, limit: Limit) -> Check:
    question = f"How much of the {axle} travel as found is kept?"
    kept = travel_kept(plan, axle)
    if kept is None:
        what = "measure closed and open length of the dampers, old and new, or the bump stop"
        return unknown("TRV-03", question, Kind.SHARE, what, asks=_end_missing(plan, axle))
    whole = [_whole(state, axle) or 0.0 for state in (plan.found, plan.planned)]
    return Check(
        "TRV-03",
        question,
        verdict(kept >= limit.value),
        say(
            "{}: {} from bump to droop, {} as found.",
            Amount(kept, Kind.SHARE, fewer=1),
            length(whole[1]),
            length(whole[0]),
        ),
        Kind.SHARE,
        kept,
        limit.value,
        limit.origin,
        "at least",
        "much of the travel lost makes the car meet its stops; several local rules limit the loss to a third",
        "A damper with more stroke, or lower it less.",
    )


def _bump_kept_check(axle: str, plan: JobPlan, limit: Limit) -> Check:
    question = f"How much of the {axle} bump travel as found is kept?"
    was, now = (end_of_travel(state, axle, "bump") for state in (plan.found, plan.planned))
    if was is None or now is None or was.travel <= 0:
        what = "measure the closed length of the dampers, old and new, or the bump stop"
        return unknown("TRV-06", question, Kind.SHARE, what, asks=f"{axle}.damper.closed_length")
    kept = now.travel / was.travel
    return Check(
        "TRV-06",
        question,
        verdict(kept >= limit.value),
        say("{}: {}, {} as found.", Amount(kept, Kind.SHARE, fewer=1), length(now.travel), length(was.travel)),
        Kind.SHARE,
        kept,
        limit.value,
        limit.origin,
        "at least",
        "droop that is gained in place of bump does not keep the car off its stops",
        "A shorter damper or bump stop, stiffer springs, or lower it less.",
    )


def _rebound_check(axle: str, plan: JobPlan, limit: Limit) -> Check:
    question = f"Is there rebound travel left at the {axle}?"
    end = end_of_travel(plan.planned, axle, "droop")
    if end is None:
        return unknown(
            "TRV-04", question, Kind.LENGTH, "measure the damper's open length", asks=f"{axle}.damper.open_length"
        )
    return Check(
        "TRV-04",
        question,
        verdict(end.travel >= limit.value),
        say("{} until {}, {} wanted.", length(end.travel), end.name, length(limit.value)),
        Kind.LENGTH,
        end.travel,
        limit.value,
        limit.origin,
        "at least",
        "a wheel without rebound leaves the road in every dip and on the inside of corners",
        "A damper that opens further.",
    )


def _order_check(axle: str, plan: JobPlan) -> Check:
    """The stack of lengths: the rubber has to be met before metal."""
    question = f"What stops the {axle} wheels first?"
    stops = plan.planned.stops[axle]
    if not stops or end_of_travel(plan.planned, axle, "bump") is None:
        return unknown(
            "TRV-05",
            question,
            Kind.LENGTH,
            "measure the dampers' lengths and the bump stop",
            asks=_end_missing(plan, axle),
        )
    # The wheel with the least between rubber and metal is judged; one whose rubber is not known, before one that is fine.
    side = min(SIDES, key=lambda one: _before_metal(stops, one))
    order = {at: [met for met in stops if met.at == at and met.side in {side, None}] for at in ("bump", "droop")}
    told = say("{}: bump: {}; droop: {}", side, *(_listed(mets) for mets in order.values()))
    metal, rubber = (_met_at(stops, side, name) for name in ("damper closed", RUBBER))
    if rubber is None:
        what = say("{}; measure the gap to the bump stop", told)
        return unknown("TRV-05", question, Kind.LENGTH, what, asks=f"{axle}.bump_stop.gap")
    good = metal is None or metal > rubber
    return Check(
        "TRV-05",
        question,
        Verdict.PASS if good else Verdict.FAIL,
        say("{}.", told),
        Kind.LENGTH,
        metal,
        rubber,
        "the lengths given",
        "at least" if metal is not None else "",
        "a damper that closes on metal breaks its piston or its mounting",
        "A damper with a shorter closed length or a taller bump stop.",
    )


def _before_metal(stops: Sequence[StopContact], side: SideName) -> float:
    """How far the metal lies beyond the rubber; 0 where no rubber is known, infinite where no metal is met [m]."""
    metal, rubber = (_met_at(stops, side, name) for name in ("damper closed", RUBBER))
    if rubber is None:
        return 0.0
    return inf if metal is None else metal - rubber


def _met_at(stops: Sequence[StopContact], side: SideName, name: str) -> float | None:
    """Travel at which a wheel meets a stop in bump; None where it does not [m]."""
    return next((met.travel for met in stops if met.at == "bump" and met.name == name and met.side == side), None)


def _listed(mets: Sequence[StopContact]) -> Sentence:
    """What is met, in order."""
    if not mets:
        return say("nothing known")
    return say(", ".join(["{} {}"] * len(mets)), *(thing for met in mets for thing in (met.name, length(met.travel))))
