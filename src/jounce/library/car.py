"""A car as it was measured, read from its file; a job on it."""

from __future__ import annotations

from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from jounce.behaviour.axle.motions import AxleStates
from jounce.car.file import reading
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AXLES
from jounce.case.case import Case
from jounce.checks.rules import read_rules
from jounce.conventions.errors import at
from jounce.job import file as job_file
from jounce.job.document import JobDocument
from jounce.library.plan import Plan
from jounce.library.results import Standing
from jounce.library.standing_car import StandingCar

__all__ = ["Car", "Job", "read_car", "read_job"]


@dataclass(frozen=True, eq=False, repr=False)
class Car(StandingCar):
    """A car as found: the position in which it was measured."""

    def as_found(self) -> Standing:
        """How it stands: loads, rates, frequencies, roll stiffness, heights, every angle.

        Returns:
            Results by name; of wheels with the shape (2, 2), of axles (2,), of the car () [SI].

        Raises:
            Impossible: it does not stand where it was measured
        """
        return self._standing

    def plan(self, job: Job | str | PathLike[str], rules: str | PathLike[str] | None = None) -> Plan:
        """Work out a job on this car.

        Args:
            job: read, or its file
            rules: file of local rules and of the shop's own limits, to check the planned car against

        Raises:
            InputError: a file cannot be read, or the job's parts do not go with this car
            Impossible: the wanted position is out of reach, or the car finds no rest
        """
        one = job if isinstance(job, Job) else read_job(job)
        case = self.case.with_job(one.document, None if rules is None else read_rules(Path(rules)))
        with at(one.place):
            return Plan(case, case.planned, {axle: case.planned.standing.states[axle] for axle in AXLES})


@dataclass(frozen=True, eq=False, repr=False)
class Job:
    """A change list and the car that it names.

    Attributes:
        document: what is wanted, and the parts to exchange
        car: the car as found
        place: the file that it comes from

    """

    document: JobDocument
    car: Car
    place: str

    @property
    def name(self) -> str:
        """What the job is called."""
        return self.document.job.name

    def __repr__(self) -> str:
        return f"<job {self.name!r} on {self.car.case.name}>"


def read_car(path: str | PathLike[str]) -> Car:
    """Read a car file.

    Args:
        path: the file

    Raises:
        InputError: the file cannot be read, or what it says cannot be: all that is wrong, with its lines
        Impossible: a spring would have to pull for the car to stand as it was weighed
    """
    return _car(reading.read_car(Path(path)), str(path))


def read_job(path: str | PathLike[str]) -> Job:
    """Read a job file and the car that it names.

    Args:
        path: the job file

    Raises:
        InputError: a file cannot be read, or what it says cannot be: all that is wrong, with its lines
        Impossible: a spring would have to pull for the car to stand as it was weighed
    """
    document, car = job_file.read_job(Path(path))
    return Job(document, _car(car, str(path)), str(path))


def _car(document: CarDocument, place: str) -> Car:
    case = Case(document)
    with at(place):
        _ = case.found.models
    return Car(case, case.found, dict.fromkeys(AXLES, AxleStates()))
