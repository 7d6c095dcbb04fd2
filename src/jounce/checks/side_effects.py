"""What else a change moves: for each thing that the job changes what follows from it, with the number where it is known."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.motions import steering_drive
from jounce.behaviour.ride.damper_match import ratio_after
from jounce.car.mechanics.stops import RUBBER
from jounce.checks.ends_of_travel import end_of_travel
from jounce.conventions.units import MM, Kind, show
from jounce.job.document import JobDocument, WheelChange
from jounce.job.plan import JobPlan, value_of
from jounce.layouts.naming import SIDES

_OF_ARMS = ("arm_angle", "arm_slope")
_BEAM = 10.0  # distance at which a lamp's aim is told [m]


@dataclass(frozen=True, slots=True)
class KnockOn:
    """One consequence: of which change, what it moves, by how much, what to do about it.

    ``value`` is how much [SI], of ``kind``; None where the model does not know it.
    """

    cause: str
    moved: str
    kind: Kind
    value: float | None
    todo: str

    def sentence(self, units: str = "metric") -> str:
        """As a sentence.

        Args:
            units: unit set to show
        """
        number = "" if self.value is None else f" {show(self.value, self.kind, units, sign=True)}"
        return f"{self.moved}{number}; {self.todo}."


def knock_on(job: JobDocument, plan: JobPlan) -> list[KnockOn]:
    """Everything that the job moves besides what it changes, cause by cause.

    Args:
        job: the change list
        plan: what came out
    """
    found: list[KnockOn] = []
    for axle in ("front", "rear"):
        if abs(_lowered(plan, axle)) >= MM:
            found += [*_of_any_height(plan, axle), *_of_wheel_angles(plan, axle), *_of_beam(plan, axle)]
    if abs(_lowered(plan, "rear")) >= MM:
        found += _of_the_load_sensed(plan)
    found += _of_pitch(plan)
    found += [*_of_springs(job, plan), *_of_roll_stiffness(job, plan), *_of_plates(plan)]
    return [*found, *_of_wheels(job, plan)]


def _lowered(plan: JobPlan, axle: str) -> float:
    """How much lower both wheels' arches stand, on the mean [m]."""
    return sum(plan.planned.sits.travel[axle, s] - plan.found.sits.travel[axle, s] for s in SIDES) / 2


def _height_cause(plan: JobPlan, axle: str) -> str:
    lower = _lowered(plan, axle)
    return f"{axle} {show(abs(lower), Kind.LENGTH)} {'lower' if lower > 0 else 'higher'}"


def _change(plan: JobPlan, axle: str, name: str) -> float | None:
    """Planned less found of one number of an axle's geometry, None where it does not exist [SI]."""
    tables = [state.geometry[axle] for state in (plan.found, plan.planned)]
    if not all(any(column.name == name for column in table.columns) for table in tables):
        return None
    was, now = (value_of(table, name) for table in tables)
    return None if was is None or now is None else now - was


def _of_any_height(plan: JobPlan, axle: str) -> Iterator[KnockOn]:
    cause = _height_cause(plan, axle)
    free = [_free(plan, axle, planned=planned) for planned in (False, True)]
    if free[0] is not None and free[1] is not None:
        yield KnockOn(cause, f"{axle} free travel to the bump rubber", Kind.LENGTH, free[1] - free[0], "see the checks")
    else:
        yield KnockOn(cause, f"{axle} bump stops are met sooner", Kind.LENGTH, None, "measure their gap")
    hangs = [_lowest(plan, axle, planned=planned) for planned in (False, True)]
    raised = None if hangs[0] is None or hangs[1] is None else hangs[1] - hangs[0]
    text = f"{axle} wheels' lowest place on the body, + higher,"
    yield KnockOn(cause, text, Kind.LENGTH, raised, "look at hoses, cables and shafts with the wheels hanging")
    turned = _arm_turned(plan, axle)
    text = f"{axle} bushes turn" if turned is None else f"{axle} arms turn by"
    todo = "undo the bolts of rubber bushes and tighten them at the new height"
    yield KnockOn(cause, text, Kind.ANGLE, turned, todo)
    yield KnockOn(
        cause,
        f"{axle} roll centre",
        Kind.LENGTH,
        _change(plan, axle, "roll_centre_height"),
        "the car's balance moves with it: see the comparison of both cars in the corner",
    )
    track = _change(plan, axle, "track")
    if track is not None and abs(track) >= MM / 2:
        yield KnockOn(cause, f"{axle} track", Kind.LENGTH, track, "look at tyre to arch and damper")


def _arm_turned(plan: JobPlan, axle: str) -> float | None:
    """By how much the left arm that is told first turns on the body; None where the axle has no arm of its own [rad]."""
    names = [column.name for column in plan.planned.geometry[axle].columns]
    told = (name for name in names if name.startswith("left_") and name.endswith(_OF_ARMS) and "swing" not in name)
    changes = (_change(plan, axle, name) for name in told)
    return next((change for change in changes if change is not None), None)


def _free(plan: JobPlan, axle: str, *, planned: bool) -> float | None:
    state = plan.planned if planned else plan.found
    return next((met.travel for met in state.stops[axle] if met.name == RUBBER), None)


def _lowest(plan: JobPlan, axle: str, *, planned: bool) -> float | None:
    """Lowest place of the wheels on the body, from as found [m]."""
    state = plan.planned if planned else plan.found
    end = end_of_travel(state, axle, "droop")
    if end is None:
        return None
    return sum(state.sits.travel[axle, side] for side in SIDES) / 2 - end.travel


def _of_wheel_angles(plan: JobPlan, axle: str) -> Iterator[KnockOn]:
    """Angles and shafts of wheels that are carried one by one."""
    cause, alone = _height_cause(plan, axle), plan.settings[axle].alone
    for name, todo in (("toe", "set toe last, after camber and caster"), ("camber", "set camber before toe")):
        for side in SIDES:
            if (name, side) in alone:
                was = value_of(plan.found.geometry[axle], f"{side}_{name}") or 0.0
                text = f"{side} {axle} {name}, left alone,"
                yield KnockOn(cause, text, Kind.ANGLE, alone[name, side] - was, todo)
    if not alone:
        return
    caster = _change(plan, axle, "left_caster")
    if caster is not None and _is_steered(plan, axle):
        yield KnockOn(cause, "caster", Kind.ANGLE, caster, "steering feels heavier with more")
    bump_steer = _change(plan, axle, "left_bump_steer")
    if bump_steer is not None:
        text = f"the heights of the two ends of each {plan.settings[axle].toe_rod} decide it"
        if any(wheel.shims for wheel in plan.settings[axle].wheels.values()):
            text = "the lines that its arms turn about decide it"
        if _is_steered(plan, axle):
            text = "the heights of each tie rod's two ends against the arms decide it: mend by spacers at the tie rods"
        yield KnockOn(cause, "toe change per bump, left", Kind.RATIO_ANGLE, bump_steer, text)
    yield from _of_shafts(plan, axle, cause)


def _of_shafts(plan: JobPlan, axle: str, cause: str) -> Iterator[KnockOn]:
    angle = _change(plan, axle, "left_drive_shaft_outer_angle")
    if angle is not None:
        yield KnockOn(
            cause, "outer drive-shaft joint at rest", Kind.ANGLE, angle, "see the checks over the whole travel"
        )
        plunge = _change(plan, axle, "left_drive_shaft_plunge")
        yield KnockOn(cause, "drive-shaft plunge at rest", Kind.LENGTH, plunge, "look at the boots")


def _of_beam(plan: JobPlan, axle: str) -> Iterator[KnockOn]:
    """Where a beam axle stands and how it steers."""
    cause, rod = _height_cause(plan, axle), plan.settings[axle].rod
    if rod is not None:
        todo = "set the adjustable rod, or live with it" if rod.turns is not None else "only an adjustable rod mends it"
        yield KnockOn(cause, f"{axle} axle to the left, rod left alone,", Kind.LENGTH, rod.shift_if_left, todo)
    steer = _change(plan, axle, "axle_roll_steer")
    if steer is not None:
        text = "the slope of what leads it makes it: roll now turns the axle that much more"
        yield KnockOn(cause, "axle steer per roll", Kind.RATIO, steer, text)


def _of_the_load_sensed(plan: JobPlan) -> Iterator[KnockOn]:
    cause = _height_cause(plan, "rear")
    todo = "a load-sensing brake valve linked to the axle reads it as load: reset it by the maker's manual"
    yield KnockOn(cause, "rear body on its axle", Kind.LENGTH, -_lowered(plan, "rear"), todo)


def _of_pitch(plan: JobPlan) -> Iterator[KnockOn]:
    pitch = plan.planned.sits.pitch - plan.found.sits.pitch
    if abs(pitch) < 1e-5 and abs(_lowered(plan, "front")) < MM:
        return
    way = "down" if pitch > 0 else "up"
    todo = f"{abs(math.tan(pitch)) * 100:.2f} % {way}: aim the lamps last, with the driver aboard"
    cause = f"body pitches {show(pitch, Kind.ANGLE, sign=True)}"
    yield KnockOn(cause, f"lamp beams at {_BEAM:.0f} m", Kind.LENGTH, -math.tan(pitch) * _BEAM, todo)
    yield KnockOn(
        cause, "lamps over the ground", Kind.LENGTH, -_lowered(plan, "front"), "mind the least height of lamps"
    )


def _of_springs(job: JobDocument, plan: JobPlan) -> Iterator[KnockOn]:
    for axle in ("front", "rear"):
        change = job.change.of(axle)
        springs = (("torsion bars", change.torsion_bar), ("coils", change.spring), ("leaves", change.leaf))
        word = next((word for word, part in springs if part is not None), None)
        if word is None:
            continue
        was, now = (state.axles[axle].wheels["left"].wheel_rate for state in (plan.found, plan.planned))
        cause = f"{axle} {word}"
        text = f"{axle} wheel rate"
        yield KnockOn(cause, text, Kind.SPRING_RATE, now - was, "the ride frequency goes with its root")
        if change.damper is None:
            text = f"{axle} damping ratio, dampers as they are, becomes times"
            yield KnockOn(cause, text, Kind.RATIO, ratio_after(now / was), "see the check of the dampers")


def _of_roll_stiffness(job: JobDocument, plan: JobPlan) -> Iterator[KnockOn]:
    both = (job.change.front, job.change.rear)
    springs = [part for change in both for part in (change.torsion_bar, change.spring, change.leaf)]
    bars = [part for change in both for part in (change.roll_bar, change.roll_bar_2, change.inner_bar)]
    words = [word for word, parts in (("springs", springs), ("anti-roll bars", bars)) if any(parts)]
    if not words:
        return
    was, now = (state.front_share_of_roll_stiffness for state in (plan.found, plan.planned))
    todo = "more in front runs wide, more behind turns in: try it on a closed ground, one step at a time"
    yield KnockOn(" and ".join(words), "front share of the roll stiffness", Kind.SHARE, now - was, todo)


def _of_plates(plan: JobPlan) -> Iterator[KnockOn]:
    for axle, settings in plan.settings.items():
        for side, wheel in settings.wheels.items():
            moved = abs(wheel.plate_inward) > MM / 10 or abs(wheel.plate_rearward) > MM / 10
            moved = moved or any(abs(link.longer) > MM / 10 for link in wheel.links.values())
            if wheel.tie_rod is not None and moved:
                middle = " and the steering wheel's middle" if _is_steered(plan, axle) else ""
                todo = f"the toe wanted needs it; look at the thread left{middle}"
                text = f"{side} {settings.toe_rod}, + longer,"
                if abs(wheel.tie_rod) > MM / 20:  # less shows as none
                    yield KnockOn(f"{axle} alignment", text, Kind.LENGTH, wheel.tie_rod, todo)


def _is_steered(plan: JobPlan, axle: str) -> bool:
    model = next(model for model in plan.planned.models if model.name == axle)
    return steering_drive(model.stand, axle) is not None


def _of_wheels(job: JobDocument, plan: JobPlan) -> Iterator[KnockOn]:
    for k, (axle, change) in enumerate((("front", job.change.front.wheel), ("rear", job.change.rear.wheel))):
        if change is not None:
            yield from _of_wheel(change, plan, k, axle)


def _of_wheel(change: WheelChange, plan: JobPlan, k: int, axle: str) -> Iterator[KnockOn]:
    was, now = (state.models[k].linkage.wheels["left"] for state in (plan.found, plan.planned))
    cause = f"{axle} wheels"
    radii = [float(np.ravel(wheel.loaded_radius)[0]) for wheel in (was, now)]
    if change.loaded_radius is not None and abs(radii[1] - radii[0]) > MM / 10:
        text = "body over the ground, by the tyres,"
        yield KnockOn(cause, text, Kind.LENGTH, radii[1] - radii[0], "it adds to the lowering")
        slower = radii[0] / radii[1] - 1
        todo = "by the loaded radius; measure the rolling circumference and have the instrument set"
        yield KnockOn(cause, "speedometer and revolutions per distance", Kind.SHARE, slower, todo)
    if change.offset is not None:
        moved = float(now.centre.at[1] - was.centre.at[1])
        text = "wheel centre outward"
        known = moved if abs(moved) > 1e-9 else None
        todo = "look at arch, strut and brake at full lock" if known else "measure the present wheel's offset"
        yield KnockOn(cause, text, Kind.LENGTH, known, todo)
        scrub = _change(plan, axle, "left_scrub_radius")
        if scrub is not None:
            yield KnockOn(cause, "scrub radius", Kind.LENGTH, scrub, "the steering pulls more or less under brakes")
