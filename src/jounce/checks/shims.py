"""Shims under hubs: whether as much fits under the flange as the alignment asks for."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.checks.check import Check, unknown, verdict
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import angle, say, thickness
from jounce.job.shim_range import edge
from jounce.layouts.adjusters import Aim

_STILL = 1e-6  # a hub that turns less is not told to turn [rad]


def shim_checks(axle: str, plan: JobPlan) -> Iterator[Check]:
    """Checks of the shims of an axle; none where its hubs are on none.

    Args:
        axle: "front" or "rear"
        plan: what came out
    """
    settings = plan.settings[axle]
    goes, place = settings.shims, f"change.{axle}.shims"
    aims: tuple[Aim, ...] = ("camber", "toe")
    for side, wheel in settings.wheels.items():
        for aim in aims:
            needed = wheel.shims_needed.get(aim, 0.0)
            if abs(needed) < _STILL:
                continue
            question = f"Do shims under the {side} {axle} hub reach the {aim} wanted?"
            thick = goes.thickness(needed)
            if thick is None:
                what = say(
                    "they have to make it grow by {}; measure the length of the hub's flange", angle(needed, sign=True)
                )
                yield unknown("SHM-01", question, Kind.ANGLE, what, needed, f"{place}.flange")
                continue
            under = say("{} under the {} edge of the flange", thickness(abs(thick)), edge(aim, needed))
            if goes.thickest is None:
                what = say("{}; find out how much may be put there", under)
                yield unknown("SHM-01", question, Kind.LENGTH, what, abs(thick), f"{place}.thickest")
                continue
            lack = next((x for x in plan.short if (x.axle, x.side, x.wish) == (axle, side, aim)), None)
            text = say("{}, {} at most.", under, thickness(goes.thickest)) if lack is None else lack.told()
            yield Check(
                "SHM-01",
                question,
                verdict(goes.end_before(needed) is None),
                text,
                Kind.LENGTH,
                abs(thick),
                goes.thickest,
                "the shims as given",
                "at most",
                "a thicker pack leaves the bolts too little thread, and the hub no flat face",
                "Thicker shims with longer bolts, a tapered plate, or ask for less.",
            )
