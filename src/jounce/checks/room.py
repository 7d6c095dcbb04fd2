"""Room around the wheels and under the car: arch, brake hose, ground, new wheels."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AxleModel
from jounce.checks.check import Check, Verdict, unknown, verdict
from jounce.checks.ends_of_travel import end_of_travel
from jounce.conventions.axes import Corner, Side
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import length, say
from jounce.layouts.naming import SIDES, SideName

_LOOKED = 0.2  # how far the wheels are looked after beyond where they stand [m]
_ROOM = {
    "tyre meets arch": (
        "ARC-01",
        "Does the tyre clear the arch at full bump?",
        "bump",
        "tyre_to_arch",
        "a tyre that meets the arch is cut",
        "A higher bump stop, a narrower tyre or less lowering.",
        "measure how far the wheel can go up until the tyre meets the arch",
    ),
    "brake hose tight": (
        "HOS-01",
        "Is the brake hose long enough at full droop?",
        "droop",
        "brake_hose_droop",
        "a hose that carries the wheel tears",
        "A longer hose of an approved kind or a shorter damper.",
        "measure how far the wheel can hang down until the brake hose is tight",
    ),
}


def room_checks(axle: str, document: CarDocument, plan: JobPlan) -> Iterator[Check]:
    """Arch and brake hose of one axle.

    Args:
        axle: "front" or "rear"
        document: the planned car's document
        plan: what came out
    """
    section = document.front if axle == "front" else document.rear
    for name, (code, question, at, key, why, todo, what_to_measure) in _ROOM.items():
        asked = question.replace("?", f" ({axle})?")
        end = end_of_travel(plan.planned, axle, at)
        met = next((stop for stop in plan.planned.stops[axle] if stop.name == name), None)  # the side that comes first
        where = unmeasured(section, key)
        touches = met is not None and end is not None and met.travel <= end.travel
        if where is not None and not touches:
            yield unknown(code, asked, Kind.LENGTH, f"{what_to_measure}{where}", asks=f"{axle}.clearance.{key}")
        elif met is None:
            text = say("not met within {} of {}.", length(_LOOKED), at)
            yield Check(code, asked, Verdict.PASS, text, Kind.LENGTH)
        elif end is None:
            word = "closed" if at == "bump" else "open"
            what = say("met at {} of {}; measure the damper's {} length", length(met.travel), at, word)
            yield unknown(code, asked, Kind.LENGTH, what, met.travel, f"{axle}.damper.{word}_length")
        else:
            good = not touches
            word = "only" if good else "already"
            ends = (length(met.travel), at, length(end.travel), end.name)
            yield Check(
                code,
                asked,
                verdict(good),
                say("met {} at {} of {}, which ends at {} ({}).", word, *ends),
                Kind.LENGTH,
                met.travel,
                end.travel,
                "where the travel ends",
                "at least",
                why,
                todo,
            )


def unmeasured(section: Axle, key: str) -> str | None:
    """Which side's clearance is still to be measured, as the end of a sentence; None where both were.

    What one side is known to touch, no reading of the other one mends: a check that fails needs none.

    Args:
        section: the axle
        key: of its clearances
    """
    missing = [side for side in Side if getattr(section.side(side).clearance, key) is None]
    if not missing:
        return None
    return "" if len(missing) > 1 else f", on the {missing[0].value} too"


def ground_clearance(document: CarDocument, plan: JobPlan) -> float | None:
    """Clearance left under the lowest point, counted with the corner that comes down most; None where unknown [m].

    Args:
        document: the car's document
        plan: what came out
    """
    found = document.limits.ground_clearance
    return None if found is None else found.value - max(came_down(plan).values())


def came_down(plan: JobPlan) -> dict[Corner, float]:
    """By how much the body came down over the ground at each corner, by its wheels' travel and by smaller tyres [m].

    Args:
        plan: what came out
    """
    raised = raised_by_tyres(plan)
    return {corner: plan.planned.sits.travel[corner] - raised[corner] for corner in raised}


def raised_by_tyres(plan: JobPlan) -> dict[Corner, float]:
    """By how much other tyres lift each corner over the ground; negative for smaller ones [m].

    Args:
        plan: what came out
    """
    return {
        (model.name, side): _radius(model, side) - _radius(old, side)
        for model, old in zip(plan.planned.models, plan.found.models, strict=True)
        for side in SIDES
    }


def _radius(model: AxleModel, side: SideName) -> float:
    return float(np.ravel(model.linkage.wheels[side].loaded_radius)[0])


def clearance_check(document: CarDocument, plan: JobPlan) -> Check:
    """Clearance under the lowest point against what was entered.

    Args:
        document: the planned car's document
        plan: what came out
    """
    question = "Is there ground clearance enough?"
    left, least = ground_clearance(document, plan), document.limits.minimum_ground_clearance
    if left is None or least is None:
        if left is None:
            what, place = "measure the clearance under the lowest point", "limits.ground_clearance"
        else:
            what, place = (
                "enter the least clearance that the law or the shop asks for",
                "limits.minimum_ground_clearance",
            )
        return unknown("GND-01", question, Kind.LENGTH, what, left, place)
    return Check(
        "GND-01",
        question,
        verdict(left >= least.value),
        say("about {} under the lowest point, {} asked for.", length(left), length(least.value)),
        Kind.LENGTH,
        left,
        least.value,
        "as entered",
        "at least",
        "what touches the road is torn off",
        "Lower it less.",
        lowering="car",
    )
