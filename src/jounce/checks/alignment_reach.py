"""Whether camber and caster lie within what the slots of the top plates can give together, toe reset."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jounce.checks.check import Check, unknown, verdict
from jounce.conventions.units import DEG, Kind
from jounce.job.document import JobDocument
from jounce.job.plan import JobPlan
from jounce.job.reach_map import ReachMap, reach_maps, slots_of
from jounce.job.sentence import angle, say

_HAIR = 0.01 * DEG  # a region without width, of slots in one direction only, has its points on the edge


def reach_checks(job: JobDocument, plan: JobPlan) -> Iterator[Check]:
    """One check for each front wheel; none without top plates.

    Args:
        job: the change list
        plan: what came out
    """
    slots = slots_of(job)
    if slots is None:
        return
    maps = reach_maps(job, plan)
    if not maps:
        what = "measure how far the slots of the top plates go"
        question = "Do the top plates give camber and caster together?"
        yield unknown("ALN-02", question, Kind.ANGLE, what, asks="change.front.top_plate.reach_inward")
    for found in maps.values():
        yield _reach_check(found)


def _reach_check(found: ReachMap) -> Check:
    question = f"Does the {found.side} top plate give camber and caster together?"
    if math.isnan(found.room):
        what = "the linkage does not reach all places of the slots; measure the slots and the pivots again"
        return unknown("ALN-02", question, Kind.ANGLE, what)
    camber, caster = found.wanted
    spans = [
        say("{} to {}", angle(float(one.min()), sign=True), angle(float(one.max()), sign=True))
        for one in (found.camber, found.caster)
    ]
    return Check(
        "ALN-02",
        question,
        verdict(found.room >= -_HAIR),
        say(
            "camber {}, caster {} with toe reset; {} with {} lies {} {} the edge of that region.",
            *spans,
            angle(camber, sign=True),
            angle(caster, sign=True),
            angle(abs(found.room)),
            "inside" if found.room >= 0 else "outside",
        ),
        Kind.ANGLE,
        found.room,
        0.0,
        "the plates' slots as given; what was not measured counts as none",
        "at least",
        "outside the region no setting gives both angles",
        "Plates with longer slots, or ask for other angles.",
    )
