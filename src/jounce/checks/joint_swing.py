"""Ball joints at the limit of their swing, over the whole travel and at every lock."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.parts.named_points import JointLimit
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.sweep import Sweep, ends_missing, sweep
from jounce.conventions.axes import End
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import angle, say
from jounce.layouts.naming import SIDES, SideName
from jounce.layouts.sites import JointSite
from jounce.linkage.tree import Direction
from jounce.numerics.arrays import Array
from jounce.numerics.vectors import Z, unit

__all__ = ["joint_swing_checks"]


def joint_swing_checks(document: CarDocument, plan: JobPlan) -> Iterator[Check]:
    """Each joint of which a limit is told, on both sides, once where it is the axle's own.

    Args:
        document: the planned car's document
        plan: what came out
    """
    for name, one in document.joint.items():
        model = next(model for model in plan.planned.models if model.name == one.axle)
        done: set[str] = set()
        for side in SIDES:
            site = model.linkage.site_called(one.joint, side)
            if site is None or site.title in done:
                continue
            done.add(site.title)
            yield _check(name, one, side, site, sweep(model, document.axle(End(one.axle)), plan, side), plan)


def _check(name: str, one: JointLimit, side: SideName, site: JointSite, swept: Sweep | None, plan: JobPlan) -> Check:
    which = f"{side} {one.axle}" if f".{side}." in f".{site.title}." else one.axle
    question = f"Has the {which} {name.replace('_', ' ')} swing enough?"
    if swept is None:
        what = "measure the damper's lengths, so that the ends of travel are known"
        return unknown("JNT-01", question, Kind.ANGLE, what, asks=ends_missing(plan, one.axle))
    swing = _swing(one, side, site, swept) + (0.0 if one.found is None else one.found.value)
    k = swept.worst(swing)
    most = float(swing[k])
    if swept.locks_unknown and most <= one.max_angle.value:
        return swept.not_locked("JNT-01", question, say("swung {} at most", angle(most)), most, Kind.ANGLE)
    return Check(
        "JNT-01",
        question,
        verdict(most <= one.max_angle.value),
        say("swung {} at most: {}; it goes to {}.", angle(most), swept.where(k), angle(one.max_angle.value)),
        Kind.ANGLE,
        most,
        one.max_angle.value,
        "as given for the joint",
        "at most",
        "a joint beyond its swing is levered out of its housing, or bends its stud",
        "A shorter damper for less droop, a joint with more swing, or a spacer that brings it back to its middle.",
    )


def _swing(one: JointLimit, side: SideName, site: JointSite, swept: Sweep) -> Array:
    """Angle of a joint's stud from where it was as found; of a rod's end, from square to the rod [rad]."""
    if site.kind != "rod":
        stud = _stud(one, side, _steering_axis(side, swept))
        studs = [swept.along(Direction(point.body, stud)) for point in (site.first, site.second)]
        return np.asarray(np.arccos(np.clip(np.sum(studs[0] * studs[1], axis=-1), -1.0, 1.0)))
    ends = [swept.at(point) for point in (site.first, site.second)]
    rod = unit(ends[1] - ends[0])
    found = unit(np.ravel(site.second.at - site.first.at))
    carrier = (site.first if one.end == "inner" else site.second).body
    stud = swept.along(Direction(carrier, _stud(one, side, unit(Z - found * found[2]))))
    return np.asarray(np.abs(np.arcsin(np.clip(np.sum(rod * stud, axis=-1), -1.0, 1.0))))


def _steering_axis(side: SideName, swept: Sweep) -> Array:
    """Along it a stud is not swung by steering; upright where the axle has none [-]."""
    axis = swept.model.linkage.steering_axis.get(side)
    return Z if axis is None else unit(np.ravel(axis[1].at - axis[0].at))


def _stud(one: JointLimit, side: SideName, usual: Array) -> Array:
    if one.stud is None:
        return usual
    return unit(np.array(one.stud) * (1.0, 1.0 if side == "left" else -1.0, 1.0))
