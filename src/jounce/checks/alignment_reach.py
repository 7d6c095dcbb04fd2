"""Whether camber and caster lie within what the slots of the top plates can give together, toe reset."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jounce.car.file.document import CarDocument
from jounce.checks.check import Check, Verdict, unknown, verdict
from jounce.conventions.axes import End
from jounce.conventions.units import DEG, Kind
from jounce.job.document import JobDocument
from jounce.job.plan import JobPlan
from jounce.job.reach_map import ReachMap, reach_maps, slots_of
from jounce.job.sentence import angle, say
from jounce.job.settings import aims_of
from jounce.layouts.adjusters import Adjuster

_HAIR = 0.01 * DEG  # a region without width, of slots in one direction only, has its points on the edge


def reach_checks(axle: str, mover: Adjuster, document: CarDocument, job: JobDocument, plan: JobPlan) -> Iterator[Check]:
    """One check for each wheel of an axle; none without top plates or upper joints that move both angles.

    Args:
        axle: "front" or "rear"
        mover: what moves its upper joints
        document: the planned car's document
        job: the change list
        plan: what came out
    """
    if slots_of(job.change.of(axle)) is None or "caster" not in aims_of(document.axle(End(axle))):
        return
    maps = reach_maps(document, axle, job, plan)
    if not maps:
        what = "measure how far the slots go"
        question = f"Do the {axle} {mover.name}s give camber and caster together?"
        place = f"change.{axle}.{mover.part}.reach_inward"
        yield unknown("ALN-02", question, Kind.ANGLE, what, asks=place)
    slots, wanted = job.change.of(axle).slots, job.wanted.of(axle)
    along_known = slots is None or (slots.reach_fore, slots.reach_rear) != (None, None)
    for found in maps.values():
        check = _reach_check(found, f"{axle} {mover.name}")
        if not along_known and check.verdict is Verdict.FAIL and wanted.of_wheel("caster", found.side) is not None:
            place = f"change.{axle}.{mover.part}.reach_rear"
            check = unknown(
                "ALN-02", check.question, Kind.ANGLE, "measure how far the slots go fore and aft", asks=place
            )
        yield check


def _reach_check(found: ReachMap, mover: str) -> Check:
    question = f"Does the {found.side} {mover} give camber and caster together?"
    if math.isnan(found.room):
        what = "the linkage does not reach all places of the slots; measure the slots and the pivots again"
        return unknown("ALN-02", question, Kind.ANGLE, what)
    camber, caster = found.wanted
    spans = [
        say("{} to {}", angle(float(one.min()), sign=True), angle(float(one.max()), sign=True))
        for one in (found.camber, found.caster)
    ]
    on_edge = abs(found.room) <= _HAIR
    place, room = ("on", []) if on_edge else ("{} inside" if found.room > 0 else "{} outside", [angle(abs(found.room))])
    return Check(
        "ALN-02",
        question,
        verdict(found.room >= -_HAIR),
        say(
            f"camber {{}}, caster {{}} with toe reset; {{}} with {{}} lies {place} the edge of that region.",
            *spans,
            angle(camber, sign=True),
            angle(caster, sign=True),
            *room,
        ),
        Kind.ANGLE,
        found.room,
        0.0,
        "the slots as given; what was not measured counts as none",
        "at least",
        "outside the region no setting gives both angles",
        "Longer slots, or ask for other angles.",
    )
