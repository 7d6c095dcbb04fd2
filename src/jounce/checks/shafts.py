"""Drive shafts: angle of each joint over the whole travel, straight ahead and at both locks; plunge straight ahead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.axles.axle import Axle
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AxleModel
from jounce.checks.check import Check, unknown, verdict
from jounce.checks.ends_of_travel import end_of_travel, length_missing
from jounce.conventions.axes import Corner, End
from jounce.conventions.units import Kind
from jounce.job.plan import JobPlan
from jounce.job.sentence import angle, length, say
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array

_STEPS = 41
_GIVEN = "as given for the shaft"


def shaft_checks(model: AxleModel, section: Axle, plan: JobPlan) -> Iterator[Check]:
    """Checks of both shafts of an axle, where it has them.

    Args:
        model: the planned axle
        section: its document
        plan: what came out
    """
    axle = model.name
    told = {side: section.side(SIDE_OF[side]) for side in SIDES}
    if all(getattr(one.pivots, "drive_shaft_inner", None) is None for one in told.values()):
        return
    ends = [end_of_travel(plan.planned, axle, at) for at in ("droop", "bump")]
    lowest, highest = ends
    if lowest is None or highest is None:
        what = "measure the damper's lengths, so that the ends of travel are known"
        question = f"Can the {axle} drive shafts' joints follow the whole travel?"
        yield unknown("SHF-01", question, Kind.ANGLE, what, asks=length_missing(axle, highest))
        return
    way = np.linspace(-lowest.travel, highest.travel, _STEPS)
    locks = _locks(section)
    over = [_over_travel(model, plan, way, rack) for rack in locks]
    steered = _steered(section, axle, locks)
    for side in SIDES:
        shaft = told[side].drive_shaft
        for joint, limit, key in (
            ("outer", shaft.max_angle, "max_angle"),
            ("inner", shaft.inner_max_angle, "inner_max_angle"),
        ):
            angles = np.max([columns[f"{side}_drive_shaft_{joint}_angle"] for columns in over], axis=0)
            worst = _Worst(f"{side} {axle} {joint}", way, angles, steered)
            yield _angle_check(worst, None if limit is None else limit.value, f"{axle}.drive_shaft.{key}")
        plunge = over[0][f"{side}_drive_shaft_plunge"]  # steered, the outer joint stays on the steering axis
        for word, room, most in (
            ("in", shaft.plunge_in, -float(plunge.min())),
            ("out", shaft.plunge_out, float(plunge.max())),
        ):
            yield _plunge_check((axle, side), word, max(0.0, most), None if room is None else room.value)


@dataclass(frozen=True, slots=True)
class _Worst:
    """A joint's largest angles [rad] over the travel [m], whatever way it is steered."""

    joint: str
    way: Array
    angles: Array
    steered: str


def _locks(section: Axle) -> list[float]:
    """Displacements of the rack straight ahead and, where they are known, at both locks [m]."""
    steering = getattr(section, "steering", None)
    return [0.0] if steering is None else [0.0, -steering.rack_travel.value, steering.rack_travel.value]


def _steered(section: Axle, axle: str, locks: list[float]) -> str:
    if len(locks) > 1:
        return ", straight ahead and at both locks"
    return (
        ""
        if axle == End.REAR or not section.as_layout().steered
        else ", straight ahead only: the rack's travel is not known"
    )


def _over_travel(model: AxleModel, plan: JobPlan, way: Array, rack: float) -> Mapping[str, Array]:
    standing = plan.planned.states[model.name]
    states = AxleStates(left=standing.left + way, right=standing.right + way, rack=rack, settings=standing.settings)
    return column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0), groups=("drive shafts",)))


def _angle_check(worst: _Worst, limit: float | None, place: str) -> Check:
    question = f"Can the {worst.joint} drive-shaft joint follow the whole travel?"
    k = int(np.argmax(worst.angles))
    most, at = float(worst.angles[k]), float(worst.way[k])
    text = say("{} at most, at {} of {}{}", angle(most), length(abs(at)), "bump" if at > 0 else "droop", worst.steered)
    if limit is None:
        what = say("{}; ask the maker of the joint for its largest angle, or measure it with the shaft out", text)
        return unknown("SHF-01", question, Kind.ANGLE, what, most, place)
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
        "a joint beyond its angle locks and breaks",
        "A shorter damper for less droop, or lower it less.",
    )


def _plunge_check(corner: Corner, word: str, way: float, room: float | None) -> Check:
    axle, side = corner
    question = f"Has the {side} {axle} drive shaft room to plunge {word}?"
    text = say("{} {} at most over the whole travel", length(way, fine=True), word)
    if room is None:
        what = say(
            f"{{}}; measure at the inner joint how far the shaft can be pushed or pulled {word} from where it stands",
            text,
        )
        return unknown("SHF-02", question, Kind.LENGTH, what, way, f"{axle}.drive_shaft.plunge_{word}")
    return Check(
        "SHF-02",
        question,
        verdict(way <= room),
        say("{}, {} is there.", text, length(room, fine=True)),
        Kind.LENGTH,
        way,
        room,
        _GIVEN,
        "at most",
        "a shaft that meets the end of its joint pushes the gearbox; one that comes out leaves the car without drive",
        "Another shaft, or limit the travel.",
    )
