"""The height of rack or tie-rod joints that gives the bump steer wanted, in whole shims, where the planned car stands.

The rods' ends go where the bump steer of the axle with all its angles set, toe again, is that wanted; then the car is let
down with the shims or the spacer that there is, and where it stands elsewhere for it the height is sought anew.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jounce.behaviour.axle.travel import column_map, states_table
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.car.parts.changed import TieRodSpacer
from jounce.conventions.axes import Corner
from jounce.conventions.errors import Impossible, InputProblems
from jounce.conventions.units import Kind
from jounce.job.apply import planned_document, problems_between, wishes_of
from jounce.job.document import JobDocument
from jounce.job.joint_spacers import BumpSetting
from jounce.job.loads import attitude_at
from jounce.job.plan import CarState, JobPlan, axle_set_at, car_before, make_plan, value_of
from jounce.job.shortfall import Shortfall
from jounce.layouts.naming import SIDES

__all__ = ["SettledJob", "asks_for_bump_steer", "settled", "with_heights"]

_STEP = 5e-3  # way over which the bump steer's change is looked at first [m]
_FARTHEST = 0.08  # that an end is moved while its height is sought, each way [m]
_ROUNDS = 20  # secants; each brings the height some hundredfold closer
_CLOSE = 1e-9  # heights that are one height [m]
_AGREED = 1e-6  # a height that changes less from one plan to the next is found [m]
_PLANS = 4  # the second stands within some hundredths of 1 mm of the first
_FLAT = 1e-3  # a bump steer that changes less with the height is not set by it [rad/m for 1 m]
_HAIR = 1e-9  # a height this near to an end is not beyond it [m]


@dataclass(frozen=True, slots=True)
class SettledJob:
    """A job whose heights of rack and tie-rod joints are found, and its plan."""

    job: JobDocument
    plan: JobPlan


def asks_for_bump_steer(job: JobDocument) -> bool:
    """Whether a bump steer is wanted of an axle.

    Args:
        job: the change list
    """
    return any(job.wanted.of(axle).bump_steer is not None for axle in AXLES)


def settled(document: CarDocument, job: JobDocument, found: CarState | None = None) -> SettledJob:
    """Find the heights that give the bump steers wanted, and plan the job with them.

    Args:
        document: the car as measured
        job: the change list
        found: the car as it was found; worked out when left out

    Raises:
        InputProblems: parts that do not go with this car
        Impossible: no height gives the bump steer wanted, or the plan cannot be
    """
    _sound(document, job)
    before = found or car_before(document)
    ends = _ends(job)
    now = job
    for end in ends:
        now = end.put(now, end.stands)
    lower = wishes_of(document, now).lower
    stands: tuple[Mapping[Corner, float], tuple[float, float]] = (lower, attitude_at(document, lower))
    plan: JobPlan | None = None
    heights: dict[AxleName, float] = {}
    for _ in range(_PLANS):
        sought = [end.sought(document, now, before, stands) for end in ends]
        for end, setting in zip(ends, sought, strict=True):
            now = end.put(now, setting.set) if end.free else now
        settings = {setting.axle: setting for setting in sought}
        if plan is not None and all(abs(settings[axle].set - was) <= _AGREED for axle, was in heights.items()):
            return SettledJob(now, _told(plan, settings))
        heights = {axle: setting.set for axle, setting in settings.items()}
        plan = make_plan(document, planned_document(document, now), wishes_of(document, now), before)
        sits = plan.planned.sits
        stands = sits.travel, (sits.pitch, sits.roll)
    raise Impossible("Heights and bump steer do not agree: the rack's height moves the car too far. Ask for less.")


def with_heights(document: CarDocument, job: JobDocument) -> JobDocument:
    """A job with the heights that its bump steers need where the car is wanted, whatever its springs make of it.

    Args:
        document: the car as measured
        job: the change list

    Raises:
        InputProblems: parts that do not go with this car
        Impossible: no height gives the bump steer wanted
    """
    if not asks_for_bump_steer(job):
        return job
    _sound(document, job)
    before, ends = car_before(document), _ends(job)
    now = job
    for end in ends:
        now = end.put(now, end.stands)
    lower = wishes_of(document, now).lower
    for end in filter(lambda one: one.free, ends):
        sought = end.sought(document, now, before, (lower, attitude_at(document, lower)))
        now = end.put(now, sought.set)
    return now


def _sound(document: CarDocument, job: JobDocument) -> None:
    """Refuse what does not go together before heights are put in."""
    problems = problems_between(document, job)
    if problems:
        raise InputProblems(problems)


def _ends(job: JobDocument) -> list[_End]:
    return [_End(axle, job) for axle in AXLES if job.wanted.of(axle).bump_steer is not None]


class _End:
    """The end of an axle's tie rods whose height is sought: the rack's, or that of the outer joints.

    Where the change list has neither to be found its height, what the outer joints would need is told.
    """

    def __init__(self, axle: AxleName, job: JobDocument) -> None:
        change, wish = job.change.of(axle), job.wanted.of(axle).bump_steer
        self.axle, self.wanted = axle, 0.0 if wish is None else wish.value
        self.rack, self.spacer = change.rack, change.tie_rod_spacer
        self.on_rack = self.rack is not None and self.rack.higher is None
        self.free = self.on_rack or (self.spacer is not None and self.spacer.height is None)
        given = None if self.spacer is None else self.spacer.height
        self.stands = 0.0 if given is None or self.on_rack else given.value

    def put(self, job: JobDocument, way: float) -> JobDocument:
        """The job with this end at a height, the rack's higher, outer joints lower [m]; copies are not validated again."""
        part: Section | None
        if self.on_rack and self.rack is not None:
            key, part = "rack", self.rack.model_copy(update={"higher": Measured(way)})
        else:
            new = self.spacer or TieRodSpacer()
            key, part = "tie_rod_spacer", new.model_copy(update={"height": Measured(way)}) if way else None
        change = job.change.of(self.axle).model_copy(update={key: part})
        return job.model_copy(update={"change": job.change.model_copy(update={self.axle: change})})

    def sought(
        self,
        document: CarDocument,
        job: JobDocument,
        before: CarState,
        stands: tuple[Mapping[Corner, float], tuple[float, float]],
    ) -> BumpSetting:
        """The height that gives the bump steer where the car stands, by secants; travels [m], pitch and roll [rad].

        Raises:
            Impossible: none gives it
        """
        travels, attitude = {side: stands[0][self.axle, side] for side in SIDES}, stands[1]

        def bump_steer(way: float) -> float:
            moved = self.put(job, way)
            planned, wishes = planned_document(document, moved), wishes_of(document, moved)
            model, states = axle_set_at(planned, before, wishes, self.axle, travels, attitude)
            table = states_table(model.stand, model.linkage, states, (1.0, 1.0), groups=("bump gradients",))
            told = column_map(table)
            return float(np.mean([told[f"{side}_bump_steer"][0] for side in SIDES]))

        one, other = self.stands, self.stands + _STEP
        value = alone = bump_steer(one)
        for _ in range(_ROUNDS):
            following = bump_steer(other)
            slope = (following - value) / (other - one)
            if abs(slope) < _FLAT:
                break
            one, value, other = other, following, other - (following - self.wanted) / slope
            if abs(other - one) <= _CLOSE:
                way, step, at_end = self._rounded(other)
                return BumpSetting(self.axle, self.name, self.wanted, alone, other, way, slope, step, at_end=at_end)
            if abs(other - self.stands) > _FARTHEST:
                break
        raise Impossible(
            f"No height of the {self.axle} {'rack' if self.on_rack else _JOINT} gives the bump steer wanted: ask for less.",
            place=f"wanted.{self.axle}.bump_steer",
        )

    @property
    def name(self) -> str:
        """What is set, in words of the trade."""
        if self.on_rack:
            return "rack"
        return f"spacer at the {_JOINT}" if self.free else _JOINT

    def _rounded(self, needed: float) -> tuple[float, float, bool]:
        """Where it is really set, within its ends and in whole shims; their step; whether it would go beyond an end [m]."""
        least, most, step = 0.0, math.inf, 0.0
        if not self.free:
            return self.stands, 0.0, abs(needed - self.stands) > _AGREED
        if self.on_rack and self.rack is not None:
            least = -math.inf if self.rack.down is None else -self.rack.down.value
            most = math.inf if self.rack.up is None else self.rack.up.value
            step = 0.0 if self.rack.shim is None else self.rack.shim.value
        elif self.spacer is not None:
            most = math.inf if self.spacer.highest is None else self.spacer.highest.value
            step = 0.0 if self.spacer.step is None else self.spacer.step.value
        way = min(max(needed, least), most)
        if step:
            count: float = round(way / step)
            count = count if math.isinf(most) else min(count, math.floor(most / step + _HAIR))
            count = count if math.isinf(least) else max(count, math.ceil(least / step - _HAIR))
            way = count * step
        return way, step, not least - _HAIR <= needed <= most + _HAIR


def _told(plan: JobPlan, settings: Mapping[AxleName, BumpSetting]) -> JobPlan:
    """The plan with what was set for bump steer, what it has of it, and what would be needed where an end came first."""
    told, short = {**plan.settings}, [*plan.short]
    for axle, setting in settings.items():
        values = [value_of(plan.planned.geometry[axle], f"{side}_bump_steer") or 0.0 for side in SIDES]
        reached = float(np.mean(values))
        told[axle] = replace(told[axle], bump_steer=replace(setting, reached=reached))
        if setting.at_end:
            ways = _HIGHER if setting.part == "rack" else _LOWER
            both, places = (setting.wanted, reached), (setting.set, setting.needed)
            short.append(Shortfall(axle, "", "bump steer", Kind.RATIO_ANGLE, *both, setting.part, *places, ways))
    return replace(plan, settings=told, short=tuple(short))


_JOINT = "tie rod's outer joint"
_HIGHER, _LOWER = ("higher than found", "lower than found"), ("lower than found", "higher than found")
