"""The case that a question is asked of: a car as found, or a job's car as found and as planned."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import read_car, read_text, read_toml
from jounce.conventions.errors import at
from jounce.job.apply import planned_document, wishes_of
from jounce.job.document import JobDocument
from jounce.job.file import read_job
from jounce.job.on_road import CarInState, found_state, planned_state
from jounce.job.plan import Plan, make_plan

__all__ = ["FOUND", "PLANNED", "Case", "CaseState", "case_of_file"]

FOUND, PLANNED = "found", "planned"
"""What the two states are called beside each other."""


@dataclass(frozen=True, slots=True)
class CaseState:
    """One state of a case: its title, the document of the car as it is then, and that car on its road."""

    title: str
    document: CarDocument
    state: CarInState

    @property
    def car(self) -> RoadCar:
        """The car on its road."""
        return self.state.road


@dataclass(frozen=True, eq=False)
class Case:
    """A car, and the job on it if there is one; what follows is worked out when it is asked for first, and kept.

    ``planned`` and ``plan`` may be given where they were worked out already.
    """

    car: CarDocument
    job: JobDocument | None = None
    worked: tuple[CarDocument, Plan] | None = None

    @cached_property
    def plan(self) -> tuple[CarDocument, Plan] | None:
        """The car with the planned parts, and the plan; None for a car alone.

        Raises:
            Impossible: the plan cannot be
        """
        if self.job is None or self.worked is not None:
            return self.worked
        planned = planned_document(self.car, self.job)
        return planned, make_plan(self.car, planned, wishes_of(self.car, self.job))

    @cached_property
    def states(self) -> tuple[CaseState, ...]:
        """As found, and with a job as planned.

        Raises:
            Impossible: the car finds no rest, or the plan cannot be
        """
        if self.job is None or self.plan is None:
            return (CaseState(FOUND, self.car, found_state(self.car)),)
        planned, plan = self.plan
        return (
            CaseState(FOUND, self.car, found_state(self.car, plan.found)),
            CaseState(PLANNED, planned, planned_state(self.car, planned, self.job, plan)),
        )

    @property
    def last(self) -> CaseState:
        """The state that a job leads to; of a car alone the one it was found in."""
        return self.states[-1]

    @property
    def name(self) -> str:
        """The car's name."""
        return self.car.car.name


def case_of_file(path: Path) -> Case:
    """Read a car file, or a job file with its car.

    Args:
        path: either; a job file is known by its [job] section

    Raises:
        InputError: the file cannot be read, or what it says cannot be
        Impossible: the car as planned cannot stand
    """
    if "job" not in read_toml(read_text(path), str(path)):
        return Case(read_car(path))
    job, car = read_job(path)
    case = Case(car, job)
    with at(str(path)):
        _ = case.plan
    return case
