"""How low a car can go, whatever springs hold it there: where something rubs, where a rule forbids it, where it ends.

The car is held at a few heights on plain springs, all its checks of room and every local rule are asked there, and between
two heights each margin is taken as a line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured
from jounce.case.case import Case
from jounce.checks.check import Check
from jounce.checks.full_lock import wheel_checks
from jounce.checks.hoses import hose_checks
from jounce.checks.joint_swing import joint_swing_checks
from jounce.checks.room import clearance_check, room_checks
from jounce.checks.rules import Rule, RuleSet, rule_checks
from jounce.checks.travel import travel_checks
from jounce.checks.tyre_room import tyre_room_checks
from jounce.conventions.errors import Impossible
from jounce.conventions.units import MM
from jounce.job.apply import planned_document, wishes_of
from jounce.job.document import JobDocument, WantedAxle, WantedCar
from jounce.job.plan import CarState, JobPlan, car_before, wanted_stand
from jounce.wanted.counter.today import nothing_done
from jounce.wanted.counter.wish import MOST_LOWER

__all__ = ["HowLow", "LowMark", "checks_of_room", "held_at", "how_low"]

HEIGHTS = tuple(MOST_LOWER * share for share in (0.0, 0.25, 0.5, 0.75, 1.0))
"""How much lower the car is held to be looked at [m]."""
Sort = Literal["parts", "rubs", "law", "end"]
_ARCH = "tyre meets arch"
_PARTS = {"TRV-01", "TRV-02", "TRV-06"}
"""Checks of the ends of travel that are dampers and rubbers: other ones mend them."""


@dataclass(frozen=True, slots=True)
class LowMark:
    """From where on something stands against going lower.

    Attributes:
        at: how much lower than as found; 0 where it does so already [m]
        sort: "parts" where other dampers or rubbers mend it, "rubs", "law" for what the shop's rules or the entered
            clearance forbid, "end" where the linkage goes no further
        words: what it is, as a sentence

    """

    at: float
    sort: Sort
    words: str


@dataclass(frozen=True, slots=True)
class HowLow:
    """What stands against going lower.

    Attributes:
        marks: in the order in which they are met
        unknown: what would have to be measured to know more

    """

    marks: tuple[LowMark, ...]
    unknown: tuple[str, ...] = ()

    def first(self, sort: Sort) -> LowMark | None:
        """What is met first of a sort; None for nothing down to the end of the slider.

        Args:
            sort: which
        """
        return next((mark for mark in self.marks if mark.sort == sort), None)


def how_low(document: CarDocument, rules: RuleSet, job: JobDocument | None = None) -> HowLow:
    """Look at a few heights.

    Args:
        document: the car as measured
        rules: the shop's own rules, and the limits that the checks hold to
        job: whose parts are on the car; what it wants is left out

    Raises:
        Impossible: the car finds no rest as it was found
    """
    case = nothing_done(document, rules) if job is None else Case(document, job, rules)
    margins: dict[tuple[str, Sort, str], list[tuple[float, float]]] = {}
    unknown: dict[str, None] = {}
    marks: list[LowMark] = []
    for lower in HEIGHTS:
        try:
            plan = held_at(case, lower)
        except Impossible:
            end = _last_reached(case, lower)
            marks.append(LowMark(end, "end", "The linkage goes no further."))
            break
        for key, margin in _margins(case, plan):
            margins.setdefault(key, []).append((lower, margin))
        for check in _checks(case, plan):
            if check.margin is None and check.value is None and check.asks and lower == 0:
                unknown[check.said("metric")] = None
    marks += [
        LowMark(at, sort, words) for (_, sort, words), line in margins.items() if (at := _crossing(line)) is not None
    ]
    return HowLow(tuple(sorted(marks, key=lambda mark: mark.at)), tuple(unknown))


def held_at(case: Case, lower: float | Mapping[str, float]) -> JobPlan:
    """The car held lower on plain springs, its rods and plates left alone; nothing is said of its own springs.

    Args:
        case: a car; what its job wants is left out
        lower: how much lower than as found both axles stand, or each by its name; one that is left out stays [m]

    Raises:
        Impossible: the linkage does not reach there
    """
    by = lower if isinstance(lower, Mapping) else {"front": lower, "rear": lower}
    front, rear = (WantedAxle(lower=Measured(by.get(axle, 0.0))) for axle in ("front", "rear"))
    job = case.change_list.model_copy(update={"wanted": WantedCar(front=front, rear=rear)})
    document = planned_document(case.car, job)
    stand = wanted_stand(case.car, document, wishes_of(case.car, job))
    held: CarState = car_before(document, stand.models)
    return JobPlan(stand.found, held, {})


def _last_reached(case: Case, beyond: float) -> float:
    """The last height that the linkage reaches, to a millimetre [m]."""
    low, high = max(height for height in HEIGHTS if height < beyond), beyond
    while high - low > MM:
        middle = 0.5 * (low + high)
        try:
            held_at(case, middle)
            low = middle
        except Impossible:
            high = middle
    return low


def checks_of_room(case: Case, plan: JobPlan) -> Iterator[Check]:
    """What the height alone decides of a car that is held: travel, arches, ground, room of wheels and tyres.

    Args:
        case: a car with a job
        plan: how it is held
    """
    document = planned_document(case.car, case.change_list)
    for axle in ("front", "rear"):
        yield from (one for one in travel_checks(axle, plan, case.rules.limits) if one.code in _PARTS)
        yield from room_checks(axle, document, plan)
    yield clearance_check(document, plan)
    yield from wheel_checks(case.change_list, document, plan, case.rules.limits)
    yield from tyre_room_checks(document, plan, case.rules.limits)


def _checks(case: Case, plan: JobPlan) -> Iterator[Check]:
    document, limits = case.with_parts, case.rules.limits
    for axle in ("front", "rear"):
        yield from (one for one in travel_checks(axle, plan, limits) if one.code in _PARTS)
    yield clearance_check(document, plan)
    yield from wheel_checks(case.change_list, document, plan, limits)
    yield from tyre_room_checks(document, plan, limits)
    yield from hose_checks(document, plan, limits)
    yield from joint_swing_checks(document, plan)
    yield from rule_checks(replace(case.rules, rules=_of_height(case.rules)), document, plan)


def _of_height(rules: RuleSet) -> tuple[Rule, ...]:
    """The rules that the height alone decides, whatever springs and dampers are fitted."""
    return tuple(rule for rule in rules.rules if rule.what in {"ground_clearance", "height_change", "lamp_height"})


def _margins(case: Case, plan: JobPlan) -> Iterator[tuple[tuple[str, Sort, str], float]]:
    """How far each check holds, by code, sort and sentence."""
    for check in _checks(case, plan):
        if check.margin is not None:
            sort: Sort = (
                "parts" if check.code in _PARTS else "law" if check.code.startswith(("RUL-", "GND-")) else "rubs"
            )
            words = _CLEARANCE if check.code == "GND-01" else _LOST[sort].format(check.question.removesuffix("?"))
            yield (check.code, sort, words), check.margin
    least = case.rules.limits["least_bump"].value
    for axle in ("front", "rear"):
        met = next((met for met in plan.planned.stops[axle] if met.name == _ARCH), None)
        if met is not None:
            words = f"The {axle} tyres meet their arches before there is bump travel enough, whatever damper ends it."
            yield ("ARC-01", "rubs", words), met.travel - least


_CLEARANCE = "The lowest point comes closer to the road than was entered as allowed."
_LOST: Mapping[Sort, str] = {
    "parts": "Other dampers or bump rubbers are needed. Asked was: {}?",
    "rubs": "It rubs. Asked was: {}?",
    "law": "The shop’s own rule forbids it: {}.",
}


def _crossing(line: list[tuple[float, float]]) -> float | None:
    """Where a margin is used up; None where it lasts to the end of the slider [m]."""
    before: tuple[float, float] | None = None
    for at, margin in line:
        if margin < 0:
            if before is None:
                return at
            share = before[1] / (before[1] - margin)
            return before[0] + share * (at - before[0])
        before = (at, margin)
    return None
