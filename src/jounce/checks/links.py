"""Links whose lengths set camber and caster: whether their threads go as far as these angles ask."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.checks.check import Check, unknown, verdict
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import length, say
from jounce.layouts.adjusters import Aim

_SHOWN = 5e-5  # beyond its end by less it reads as at it [m]
_STILL = 1e-6  # a link that moves less stays as it is [m]


def link_checks(axle: str, plan: JobPlan) -> Iterator[Check]:
    """One check for each link that has to be made longer or shorter.

    Args:
        axle: "front" or "rear"
        plan: what came out, with how far its links go
    """
    aims: tuple[Aim, ...] = ("caster", "camber")
    for aim in aims:
        part = plan.settings[axle].link_ranges.get(aim)
        for side, wheel in plan.settings[axle].wheels.items():
            link = wheel.links.get(aim)
            if part is None or link is None or abs(link.needed) < _STILL:
                continue
            way = "longer" if link.needed > 0 else "shorter"
            most = part.longer if link.needed > 0 else part.shorter
            question = f"Does the {side} {axle} {link.name} go as far as the {aim} asks?"
            told = say("{} {}", length(abs(link.needed), fine=True), way)
            if most is None:
                what = say("{}; measure how much thread it has left", told)
                asks = f"change.{axle}.{aim}_link.{way}"
                yield unknown("LNK-01", question, Kind.LENGTH, what, link.needed, asks)
                continue
            key = (axle, side, aim)
            lack = next((one for one in plan.short if (one.axle, one.side, one.wish) == key), None)
            end = part.end_before(link.needed)
            yield Check(
                "LNK-01",
                question,
                verdict(end is None or abs(end - link.needed) < _SHOWN),
                say("{}, {} at most.", told, length(most)) if lack is None else lack.told(),
                Kind.LENGTH,
                abs(link.needed),
                most,
                "the thread as given",
                "at most",
                "a rod end that holds on too little thread comes off",
                "Links with more thread, or ask for less.",
            )
