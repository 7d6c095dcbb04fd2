"""A car, or a car with a job on it, worked out once: found, planned, compared, checked. Every door takes one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from jounce.behaviour.plausible import all_remarks
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import read_car, read_text, read_toml
from jounce.car.file.remark import Remark
from jounce.case.state import FOUND, PLANNED, CaseState, FoundState, PlannedState
from jounce.checks import Check, run_checks
from jounce.checks.driven import Driven, driven
from jounce.checks.rules import NO_RULES, RuleSet, rule_checks
from jounce.checks.side_effects import KnockOn, knock_on
from jounce.conventions.axes import Corner
from jounce.conventions.errors import InputError, at
from jounce.job.apply import planned_document, wishes_of
from jounce.job.bump_steer import SettledJob, asks_for_bump_steer, settled
from jounce.job.comparison import ComparedRow, compare, with_bands
from jounce.job.document import JobDocument
from jounce.job.file import read_job
from jounce.job.index.plan import BarIndex, bar_indices
from jounce.job.index.task import task_of_plan
from jounce.job.plan import JobPlan, Wishes, make_plan

__all__ = ["FOUND", "PLANNED", "Case", "CaseState", "case_of_file"]


@dataclass(frozen=True, eq=False)
class Case:
    """A car, and the job on it if there is one; what follows is worked out when it is asked for first, and kept.

    A property that speaks of a plan raises InputError where there is no job.

    Attributes:
        car: the car as it was measured
        job: the change list; None for the car alone
        rules: the shop's own rules, and the limits that the checks hold to
        before: the car as found, where it was worked out already
        widened: by what the bands of the planned car are multiplied, by quantity; empty for none [-]

    """

    car: CarDocument
    job: JobDocument | None = None
    rules: RuleSet = NO_RULES
    before: CaseState | None = None
    widened: Mapping[str, float] = field(default_factory=dict)

    def with_job(self, job: JobDocument, rules: RuleSet | None = None) -> Case:
        """The case of a job on the same car; what is worked out of the car as found serves both.

        Args:
            job: the change list
            rules: as of a case; the same when left out
        """
        return Case(self.car, job, self.rules if rules is None else rules, self.found, self.widened)

    @property
    def name(self) -> str:
        """The car's name."""
        return self.car.car.name

    @property
    def change_list(self) -> JobDocument:
        """The job.

        Raises:
            InputError: there is none
        """
        if self.job is None:
            raise InputError("This is asked of a job", found="a car alone", todo="Name a job instead.")
        return self.job if self._settled is None else self._settled.job

    @cached_property
    def _settled(self) -> SettledJob | None:
        """The job with the heights that a bump steer asks for; None where none does."""
        if self.job is None or not asks_for_bump_steer(self.job):
            return None
        return settled(self.car, self.job, self.found.standing)

    @cached_property
    def remarks(self) -> tuple[Remark, ...]:
        """What is unusual about the car, in what was measured and in what follows from it."""
        return all_remarks(self.car)

    @cached_property
    def found(self) -> CaseState:
        """The car as found."""
        return self.before or FoundState(FOUND, self.car)

    @cached_property
    def planned(self) -> CaseState:
        """The car as planned.

        Raises:
            Impossible: the plan cannot be
        """
        return PlannedState(PLANNED, self.with_parts, self.car, self.change_list, self.plan, self.widened)

    @property
    def states(self) -> tuple[CaseState, ...]:
        """As found, and with a job as planned.

        Raises:
            Impossible: the plan cannot be
        """
        return (self.found,) if self.job is None else (self.found, self.planned)

    @property
    def last(self) -> CaseState:
        """The state that a job leads to; of a car alone the one it was found in."""
        return self.states[-1]

    @property
    def wishes(self) -> Wishes:
        """What the plan is asked for."""
        return wishes_of(self.car, self.change_list)

    @cached_property
    def plan(self) -> JobPlan:
        """As found, as planned, and the settings in between.

        Raises:
            Impossible: the plan cannot be
        """
        if self._settled is not None:
            return self._settled.plan
        return make_plan(self.car, self.with_parts, self.wishes, self.found.standing)

    @cached_property
    def rows(self) -> tuple[ComparedRow, ...]:
        """As found, as planned, difference; each with the bands of both."""
        return tuple(with_bands(compare(self.car, self.plan), self.found.bands, self.planned.bands))

    def row(self, key: str) -> ComparedRow:
        """One row.

        Args:
            key: its key
        """
        return next(row for row in self.rows if row.key == key)

    @cached_property
    def drive(self) -> Driven:
        """What the planned car does on the road, as far as checks ask for it."""
        brisk = self.rules.limits["brisk"].value
        return driven(self.planned.document, self.plan, brisk, self.planned.state)

    @cached_property
    def checks(self) -> tuple[Check, ...]:
        """Whether the planned car fits and lasts, held to the limits of the rules."""
        return tuple(run_checks(self.change_list, self.planned.document, self.plan, self.rules.limits, self.drive))

    @cached_property
    def rule_checks(self) -> tuple[Check, ...]:
        """The planned car against the shop's own rules."""
        return tuple(rule_checks(self.rules, self.planned.document, self.plan))

    @property
    def every_check(self) -> tuple[Check, ...]:
        """All checks, the shop's own rules last."""
        return (*self.checks, *self.rule_checks)

    @cached_property
    def side_effects(self) -> tuple[KnockOn, ...]:
        """What else moves, by the change that moves it."""
        return tuple(knock_on(self.change_list, self.plan))

    @cached_property
    def bar_indices(self) -> Mapping[Corner, BarIndex]:
        """How the planned car's torsion bars are indexed, of every axle that has some."""
        tasks = (
            task_of_plan(self.car, self.change_list, self.plan, self.wishes.lower, axle)
            for axle, settings in self.plan.settings.items()
            if settings.bars
        )
        return {(task.axle, side): one for task in tasks for side, one in bar_indices(task).items()}

    @cached_property
    def with_parts(self) -> CarDocument:
        """The car with the planned parts."""
        return planned_document(self.car, self.change_list)


def case_of_file(path: Path, rules: RuleSet = NO_RULES) -> Case:
    """Read a car file, or a job file with its car.

    Args:
        path: either; a job file is known by its [job] section
        rules: what a job is held to

    Raises:
        InputError: the file cannot be read, or what it says cannot be
        Impossible: the car as planned cannot stand
    """
    if "job" not in read_toml(read_text(path), str(path)):
        return Case(read_car(path))
    job, car = read_job(path)
    case = Case(car, job, rules)
    with at(str(path)):
        _ = case.plan
    return case
