"""Drive shafts: angle of their joints and plunge over the whole travel, wheels straight ahead."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jounce.behaviour.motions import AxleStates
from jounce.behaviour.travel import column_map, states_table
from jounce.car.given import SIDE_OF
from jounce.car.strut_torsion_bar import StrutTorsionBarAxle
from jounce.conventions.units import Kind
from jounce.job.checks.check import Check, unknown, verdict
from jounce.job.checks.ends_of_travel import end_of_travel
from jounce.job.plan import Plan
from jounce.job.sentence import angle, length, say
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array

_STEPS = 41
_GIVEN = "as given for the shaft"


def shaft_checks(section: StrutTorsionBarAxle, plan: Plan) -> Iterator[Check]:
    """Checks of both shafts, where the car has them in front.

    Args:
        section: the planned front axle
        plan: what came out
    """
    told = {side: section.side(SIDE_OF[side]) for side in SIDES}
    if all(getattr(one.pivots, "drive_shaft_inner", None) is None for one in told.values()):
        return
    ends = [end_of_travel(plan.planned, "front", at) for at in ("droop", "bump")]
    lowest, highest = ends
    if lowest is None or highest is None:
        what = "measure the damper's lengths, so that the ends of travel are known"
        yield unknown("SHF-01", "Do the drive shafts' joints bear the whole travel?", Kind.ANGLE, what)
        return
    standing = plan.planned.states["front"]
    way = np.linspace(-lowest.travel, highest.travel, _STEPS)
    model = plan.planned.models[0]
    states = AxleStates(left=standing.left + way, right=standing.right + way, settings=standing.settings)
    columns = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0), groups=("drive shafts",)))
    for side in SIDES:
        shaft = told[side].drive_shaft
        angles = np.maximum(columns[f"{side}_drive_shaft_outer_angle"], columns[f"{side}_drive_shaft_inner_angle"])
        limit = None if shaft.max_angle is None else shaft.max_angle.value
        yield _angle_check(side, way, angles, limit)
        plunge = columns[f"{side}_drive_shaft_plunge"]
        for word, room, most in (
            ("in", shaft.plunge_in, -float(plunge.min())),
            ("out", shaft.plunge_out, float(plunge.max())),
        ):
            yield _plunge_check(side, word, max(0.0, most), None if room is None else room.value)


def _angle_check(side: str, way: Array, angles: Array, limit: float | None) -> Check:
    question = f"Do the {side} drive shaft's joints bear the whole travel?"
    k = int(np.argmax(angles))
    most, at = float(angles[k]), float(way[k])
    way_word = "bump" if at > 0 else "droop"
    text = say("{} at most, at {} of {}, not steered", angle(most), length(abs(at)), way_word)
    if limit is None:
        return unknown("SHF-01", question, Kind.ANGLE, say("{}; give drive_shaft.max_angle", text), most)
    return Check(
        "SHF-01",
        question,
        verdict(most <= limit),
        say("{}; the joint goes to {}.", text, angle(limit)),
        Kind.ANGLE,
        most,
        limit,
        _GIVEN,
        "at most",
        "a joint beyond its angle locks and breaks; steering adds to it",
        "A shorter damper for less droop, or lower it less.",
    )


def _plunge_check(side: str, word: str, way: float, room: float | None) -> Check:
    question = f"Has the {side} drive shaft room to plunge {word}?"
    text = say("{} {} at most over the whole travel", length(way, fine=True), word)
    if room is None:
        what = say(f"{{}}; measure drive_shaft.plunge_{word}", text)
        return unknown("SHF-02", question, Kind.LENGTH, what, way)
    return Check(
        "SHF-02",
        question,
        verdict(way <= room),
        say("{}, {} there are.", text, length(room, fine=True)),
        Kind.LENGTH,
        way,
        room,
        _GIVEN,
        "at most",
        "a shaft that meets the end of its joint pushes the gearbox; one that comes out leaves the car without drive",
        "Another shaft, or limit the travel.",
    )
