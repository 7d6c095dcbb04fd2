"""A car that is down and rolled, measured, and corrected: what to turn now, and what that will give.

What stands there differs from the plan by something that nobody knows. It is taken for what it mostly is, springs that are
set or made otherwise than was thought: the displacements of the four main springs are sought with which the planned car,
worked out whole on its tyres, stands at the heights that were measured. What is to be turned is what leads back from them
to the plan's own, in whole teeth and quarter turns; then the car is let down once more with what was found and what is
turned, which is what the correction will give. Angles are put right by as much as they came out otherwise.

A body is stiff: four springs lift it, pitch it and lean it, but hardly twist its heights against each other, for that
takes unequal tyres. A millimetre of such a twist, which a floor or a tape gives, would ask for spring seats by eight. So
twist is not explained by springs: of all displacements that tell the three others, those are taken that displace least
altogether, one corner before several, and what is left of the heights is told as a twist.

Two questions are asked of each number. Whether it is inside what was promised is decided as everywhere, by the promise's
band and the reading's ± together (`jounce.conventions.certainty.agrees`). Whether it is off, so that turning brings it
nearer, is decided by the reading alone: a car may stand inside its promise and still be brought nearer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from jounce.behaviour.axle.static import with_main_springs
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import settle
from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.axes import CORNERS, Corner, End
from jounce.conventions.certainty import SHOWN_PER_TYPED, agrees
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.units import DEG, MM
from jounce.elements.law import Linear
from jounce.job.index.marks import Bolt, IndexSetting, index_setting
from jounce.job.plan import CarState, JobPlan, Wishes, height, plan_on_springs, stands_at, value_of
from jounce.job.settings import QUARTER_TURN, AxleSettings, BarSetting, PerchSetting, bolt_of
from jounce.job.spring_moved import displaced_by_setting, spring_moved
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

__all__ = ["AngleKey", "Correction", "CorrectionTask", "ReadNumber", "RoundFound", "corrected"]

AngleKey = tuple[AxleName, SideName, str]
"""Axle, side, "camber" or "toe"."""

_SAME_ANGLE = 0.01 * DEG  # angles nearer than this are the same on any gauge
_STEP = 0.1 * MM  # displacement of a spring for the slopes; the heights are nearly straight in it
_ROUNDS = 12
_AGREED = 1e-3 * MM
_STIFF = 0.3
"""A way to displace springs that moves heights by less of what the strongest does is twist; it does by about a tenth.

A tyre is some eight times as stiff as a spring (common practice, no source).
"""
_MARKED = 0.25 * DEG  # what can be marked out on a bar without known splines, common practice, no source
_SPACER = 0.5 * MM  # steps of spacers, common practice, no source


@dataclass(frozen=True, slots=True)
class ReadNumber:
    """A number that was measured: its ``value``, and its ``plus_minus`` as typed [SI]."""

    value: float
    plus_minus: float

    @property
    def room(self) -> float:
        """How far the true value lies from it at most, in nine of ten cases [SI]."""
        return SHOWN_PER_TYPED * self.plus_minus


@dataclass(frozen=True, slots=True)
class RoundFound:
    """What was measured in a round, wheel centre to arch [m] and angles to the road [rad]; all four heights."""

    heights: Mapping[Corner, ReadNumber]
    angles: Mapping[AngleKey, ReadNumber] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CorrectionTask:
    """The job that is corrected.

    Attributes:
        car: the car as it was measured before the work
        with_parts: the same with the planned parts
        wishes: what was asked of it
        plan: the plan, to which the car is to be brought
        in_place: the plan by whose settings the car is set now, with what rounds before have found
        bands: half widths that were promised beside the plan's numbers, by their keys; none where nothing was [SI]

    """

    car: CarDocument
    with_parts: CarDocument
    wishes: Wishes
    plan: JobPlan
    in_place: JobPlan
    bands: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Correction:
    """What a round says.

    Attributes:
        promised: height of each corner by the plan [m]
        found: what was measured
        off: corners that are further from it than the reading's own ±
        off_angles: angles that are further from what was wanted than the reading's own ±
        outside: corners that are further from it than the reading's ± and the promised band together
        outside_angles: angles that are further from what was wanted than both together
        plan: the settings after the correction, with what was found; those in place where nothing is worth turning
        heights: where each corner will stand then [m]
        angles: what each measured angle will be then [rad]
        turns: whether anything is turned at all
        bands: half width that was promised of each height; 0 where none was [m]
        twist: by how much each height lies otherwise than any springs would have it: floor, tape or body [m]

    """

    promised: Mapping[Corner, float]
    found: RoundFound
    off: tuple[Corner, ...]
    off_angles: tuple[AngleKey, ...]
    outside: tuple[Corner, ...]
    outside_angles: tuple[AngleKey, ...]
    plan: JobPlan
    heights: Mapping[Corner, float]
    angles: Mapping[AngleKey, float]
    turns: bool
    bands: Mapping[Corner, float] = field(default_factory=dict)
    twist: Mapping[Corner, float] = field(default_factory=dict)

    @property
    def twisted(self) -> float:
        """The largest part of a height that no spring explains, beyond what its own reading may be off by [m]."""
        return max((abs(by) - self.found.heights[corner].room for corner, by in self.twist.items()), default=0.0)

    @property
    def inside(self) -> bool:
        """Whether all that was measured is as it was promised, inside both bands together."""
        return not self.outside and not self.outside_angles

    @property
    def met(self) -> bool:
        """Whether all that was measured is where it is to be, as far as the readings can tell."""
        return not self.off and not self.off_angles


def corrected(task: CorrectionTask, found: RoundFound) -> Correction:
    """The correction of a round.

    Args:
        task: the job, and how the car is set now
        found: what was measured

    Raises:
        InputError: a height is missing, or an angle that the axle has not
        Impossible: no spring setting explains the heights, or the corrected car cannot stand so
    """
    missing = [corner for corner in CORNERS if corner not in found.heights]
    if missing:
        raise InputError(
            "All four heights are needed: one corner alone tells nothing of its own spring",
            found=f"{len(found.heights)} heights",
            todo=f"Measure {' and '.join(' '.join(corner) for corner in missing)} too.",
        )
    promised = {corner: height(task.car, task.plan.planned, corner) for corner in CORNERS}
    away = {corner: one.value - promised[corner] for corner, one in found.heights.items()}
    bands = {corner: _band(task, *corner, "height") for corner in CORNERS}
    off = tuple(corner for corner, one in found.heights.items() if abs(away[corner]) > one.room)
    off_angles = tuple(key for key, one in found.angles.items() if _misses(one, _wanted_angle(task.wishes, key), 0.0))
    stay = Correction(
        promised,
        found,
        off,
        off_angles,
        tuple(one for one in off if not agrees(away[one], found.heights[one].plus_minus, bands[one])),
        tuple(
            key for key in off_angles if _misses(found.angles[key], _wanted_angle(task.wishes, key), _band(task, *key))
        ),
        task.in_place,
        {corner: one.value for corner, one in found.heights.items()},
        {key: one.value for key, one in found.angles.items()},
        turns=False,
        bands=bands,
    )
    return stay if stay.met else _turned(task, stay)


def _turned(task: CorrectionTask, stay: Correction) -> Correction:
    """The correction of a car that is not where it is to be."""
    found, now = stay.found, task.in_place
    off, slopes, left = _springs_off(task, {corner: one.value for corner, one in found.heights.items()})
    twist = dict(zip(CORNERS, map(float, left), strict=True))
    as_it_stands = _stood(task.with_parts, now.planned, off)
    aim = {corner: _displaced(task.plan.planned, corner) for corner in CORNERS}
    settings: dict[str, tuple[AxleSettings, Mapping[SideName, Element]]] = {}
    for axle in AXLES:
        own, springs = now.settings[axle], {}
        for side in SIDES:
            corner: Corner = (axle, side)
            k = CORNERS.index(corner)
            wanted = aim[corner] - _displaced(as_it_stands, corner)
            if abs(slopes[k, k] * wanted) <= found.heights[corner].room:
                wanted = 0.0  # what the tape cannot tell is not turned
            own, by = _set(task.with_parts.axle(End(axle)), own, side, wanted)
            springs[side] = spring_moved(_spring(as_it_stands, corner), by)
        settings[axle] = (own, springs)
    angles_off = {key: one.value - _angle(as_it_stands, key) for key, one in found.angles.items()}
    wishes = _with_angles(task.wishes, angles_off)
    plan = plan_on_springs(task.with_parts, now.found, wishes, settings, as_it_stands)
    return replace(
        stay,
        plan=plan,
        heights={corner: height(task.car, plan.planned, corner) + twist[corner] for corner in CORNERS},
        angles={key: _angle(plan.planned, key) + off for key, off in angles_off.items()},
        turns=True,
        twist=twist,
    )


def _springs_off(task: CorrectionTask, heights: Mapping[Corner, float]) -> tuple[Array, Array, Array]:
    """By how much each spring is displaced more than it is set.

    Newton's method on the whole car on its tyres, in the ways that move the heights (the singular vectors of their slopes);
    then along the twist, which hardly does, to the least displacement altogether. Slopes follow each step, as bump rubbers
    ask for: C. G. Broyden, A class of methods for solving nonlinear simultaneous equations, 1965 (from memory).

    Returns:
        Displacements (4,), slopes of the heights by them (4, 4), what is left of the heights: the twist (4,) [SI]

    Raises:
        Impossible: no displacements give these heights
    """
    state, found = task.in_place.planned, np.array([heights[corner] for corner in CORNERS])
    steps = [_STEP if _is_length(state, corner) else _STEP / 0.1 for corner in CORNERS]  # an arm is some 0.3 m long
    none = np.zeros(len(CORNERS))
    stands = _heights(task, none)
    unit = np.eye(len(CORNERS))
    slopes = np.array([(_heights(task, step * unit[k]) - stands) / step for k, step in enumerate(steps)]).T
    size = 1 / np.abs(np.diag(slopes))  # a displacement of each spring that moves its own corner by one
    across, strength, along = np.linalg.svd(slopes * size)
    tells = strength > _STIFF * strength[0]

    def told(off: Array) -> Array:
        ways, lifts = size[:, None] * along[tells].T, np.diag(strength[tells])
        missing = across[:, tells].T @ (found - _heights(task, off))
        for _ in range(_ROUNDS):
            if np.abs(missing).max() <= _AGREED:
                return off
            step = np.linalg.solve(lifts, missing)
            off = off + ways @ step
            missing = across[:, tells].T @ (found - _heights(task, off))
            lifts -= np.outer(missing, step) / (step @ step)
        raise Impossible(
            "No setting of the springs explains these heights: measure them again, the car rolled and bounced, on level "
            "ground."
        )

    off = told(size * _least(told(none) / size, along[~tells]))
    return off, slopes, found - _heights(task, off)


def _least(at: Array, twists: Array) -> Array:
    """The place along a twist with the least sum of amounts; one of them is zero there.

    Args:
        at: displacements in their own sizes, shape (4,)
        twists: directions that change nothing else, shape (twists, 4); the place itself where there is not one alone
    """
    if len(twists) != 1:
        return at
    (twist,) = twists
    tried = [at - at[k] / twist[k] * twist for k in range(len(at)) if twist[k]]
    return min(tried, key=lambda one: float(np.abs(one).sum()))


def _heights(task: CorrectionTask, off: Array) -> Array:
    """Heights with every spring displaced by so much more, (4,) [m]."""
    state = task.in_place.planned
    front, rear = _models(state, off)
    sits = settle(car_of(task.with_parts, front, rear, _joints(state)), state.sits.travel)
    found = (task.car.heights.corner(End(axle), SIDE_OF[side]).value for axle, side in CORNERS)
    return np.array([height - sits.travel[corner] for corner, height in zip(CORNERS, found, strict=True)])


def _stood(document: CarDocument, state: CarState, off: Array) -> CarState:
    """The car as it stands, its springs displaced by so much more."""
    return stands_at(document, _models(state, off), _joints(state), state.sits.travel)


def _models(state: CarState, off: Array) -> tuple[AxleModel, AxleModel]:
    """Both axles with each spring displaced by so much more."""
    by = dict(zip(CORNERS, off, strict=True))
    front, rear = (
        with_main_springs(
            model,
            {side: spring_moved(_spring(state, (model.name, side)), float(by[model.name, side])) for side in SIDES},
        )
        for model in state.models
    )
    return front, rear


def _joints(state: CarState) -> dict[str, float]:
    """Values of all joints that are set [m or rad]."""
    return {
        name: float(np.asarray(value)) for axle in AXLES for name, value in (state.states[axle].settings or {}).items()
    }


def _spring(state: CarState, corner: Corner) -> Element:
    """The main spring of a corner."""
    model = next(one for one in state.models if one.name == corner[0])
    return model.elements[named(model.name, corner[1], "main_spring")]


def _is_length(state: CarState, corner: Corner) -> bool:
    return not isinstance(_spring(state, corner).law, Linear)


def _displaced(state: CarState, corner: Corner) -> float:
    return displaced_by_setting(_spring(state, corner))


def _set(section: Axle, settings: AxleSettings, side: SideName, wanted: float) -> tuple[AxleSettings, float]:
    """The settings with one spring set on as near to what is wanted as it goes, and by how much that is [m or rad]."""
    one = section.side(SIDE_OF[side])
    if side in settings.bars:
        bar = settings.bars[side]
        index = _index(bar.index, one.torsion_bar, wanted)
        by = index.reached - bar.index.reached
        new = BarSetting(index, bar.free_arm_angle - by, bar.ball_joint_free)
        return replace(settings, bars={**settings.bars, side: new}), by
    seat = settings.seats[side]
    new_seat = _seat(seat, getattr(one, "perch", None), wanted)
    return replace(settings, seats={**settings.seats, side: new_seat}), new_seat.seat - seat.seat


def _index(now: IndexSetting, bar: object, wanted: float) -> IndexSetting:
    """Teeth and bolt turned on from where they are."""
    if not now.splined:
        reached = now.reached + round(wanted / _MARKED) * _MARKED
        return replace(now, wanted=now.reached + wanted, reached=reached)
    bolt = bolt_of(bar)  # type: ignore[arg-type]  # as above
    left = Bolt(bolt.step, bolt.down - now.bolt_turns, bolt.up - now.bolt_turns)
    more = index_setting(wanted, bar.splines_arm, bar.splines_anchor, left)  # type: ignore[attr-defined]  # as above
    return IndexSetting(
        now.reached + wanted,
        now.reached + more.reached,
        now.arm_teeth + more.arm_teeth,
        now.anchor_teeth + more.anchor_teeth,
        now.bolt_turns + more.bolt_turns,
        splined=True,
    )


def _seat(now: PerchSetting, perch: object, wanted: float) -> PerchSetting:
    """A seat turned on in quarter turns within its thread, or packed in the steps of spacers."""
    if now.turns is None or perch is None:
        by = round(wanted / _SPACER) * _SPACER
        return replace(now, wanted=now.seat + wanted, seat=now.seat + by)
    lowest, highest, pitch = (getattr(perch, name).value for name in ("lowest", "highest", "pitch"))
    most = int((highest - lowest) / pitch / QUARTER_TURN + 1e-9)
    quarters = min(max(round((now.turns + wanted / pitch) / QUARTER_TURN), 0), most)
    turns = quarters * QUARTER_TURN
    return replace(now, wanted=now.seat + wanted, seat=now.seat + (turns - now.turns) * pitch, turns=turns)


def _angle(state: CarState, key: AngleKey) -> float:
    axle, side, aim = key
    names = {column.name for column in state.geometry[axle].columns}
    value = value_of(state.geometry[axle], f"{side}_{aim}") if f"{side}_{aim}" in names else None
    if value is None:
        raise InputError(f"The {axle} axle has no {aim}", found=f"{side} {aim}", todo="Leave it out.")
    return value


def _wanted_angle(wishes: Wishes, key: AngleKey) -> float | None:
    axle, side, aim = key
    wanted: Mapping[SideName, float] | None = getattr(wishes.axles[axle].angles, aim)
    return None if wanted is None else wanted[side]


def _band(task: CorrectionTask, *key: str) -> float:
    """Half width of the band that was promised of a number."""
    return task.bands.get(".".join(key), 0.0)


def _misses(one: ReadNumber, wanted: float | None, band: float) -> bool:
    """Whether an angle that was asked for is missed; one that nobody asked for is left as it is."""
    if wanted is None or abs(one.value - wanted) <= _SAME_ANGLE:
        return False
    return not agrees(one.value - wanted, one.plus_minus, band)


def _with_angles(wishes: Wishes, off: Mapping[AngleKey, float]) -> Wishes:
    """The wishes with each measured angle asked for by as much less as it came out more."""
    axles = dict(wishes.axles)
    for (axle, side, aim), more in off.items():
        angles = axles[axle].angles
        wanted: Mapping[SideName, float] | None = getattr(angles, aim)
        if wanted is not None:
            new = {**wanted, side: wanted[side] - more}
            changed = replace(angles, camber=new) if aim == "camber" else replace(angles, toe=new)
            axles[axle] = replace(axles[axle], angles=changed)
    return replace(wishes, axles=axles)
