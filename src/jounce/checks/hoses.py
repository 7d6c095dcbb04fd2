"""Brake hoses by their two ends: long enough over the whole travel and at every lock."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.parts.named_points import BrakeHose
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.limits import CheckLimits, Limit
from jounce.checks.sweep import Sweep, ends_missing, sweep
from jounce.conventions.axes import End
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import length, say
from jounce.layouts.naming import SIDES, SideName
from jounce.linkage.tree import GROUND, Point

__all__ = ["hose_checks"]


def hose_checks(document: CarDocument, plan: JobPlan, limits: CheckLimits) -> Iterator[Check]:
    """Each named hose, on both sides.

    Args:
        document: the planned car's document
        plan: what came out
        limits: what is common practice, and what the shop holds instead
    """
    for name, one in document.hose.items():
        model = next(model for model in plan.planned.models if model.name == one.axle)
        for side in SIDES:
            swept = sweep(model, document.axle(End(one.axle)), plan, side)
            yield _check(name, one, side, swept, plan, limits["least_hose_slack"])


def _check(name: str, one: BrakeHose, side: SideName, swept: Sweep | None, plan: JobPlan, least: Limit) -> Check:
    question = f"Is the {side} {one.axle} brake hose ({name.replace('_', ' ')}) long enough at every lock?"
    if swept is None:
        what = "measure the damper's lengths, so that the ends of travel are known"
        return unknown("HOS-02", question, Kind.LENGTH, what, asks=ends_missing(plan, one.axle))
    ends = (one.body_end, one.wheel_end) if side == "left" else (one.body_end.mirrored(), one.wheel_end.mirrored())
    carrier = swept.model.linkage.carriers[side]
    apart = np.linalg.norm(swept.at(Point(GROUND, ends[0].xyz)) - swept.at(Point(carrier, ends[1].xyz)), axis=-1)
    k = swept.worst(apart)
    slack = one.length.value - float(apart[k])
    if swept.locks_unknown and slack >= least.value:
        told = say("{} of slack", length(slack))
        return swept.not_locked("HOS-02", question, told, slack, Kind.LENGTH)
    return Check(
        "HOS-02",
        question,
        verdict(slack >= least.value),
        say(
            "its ends come {} apart: {}; {} of hose, {} of slack wanted.",
            length(float(apart[k])),
            swept.where(k),
            length(one.length.value),
            length(least.value),
        ),
        Kind.LENGTH,
        slack,
        least.value,
        least.origin,
        "at least",
        "a hose that is pulled straight tears",
        "A longer hose of an approved kind, a shorter damper, or a bracket elsewhere.",
    )
