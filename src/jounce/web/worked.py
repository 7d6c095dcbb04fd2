"""A job worked out: everything that its pages show, computed once for each version of car and job."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from jounce.behaviour.bands import Band, bands
from jounce.behaviour.plausible import all_remarks
from jounce.behaviour.road.corner import Cornering
from jounce.behaviour.road.feel import Feel
from jounce.book import Entry
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car
from jounce.car.file.remark import Remark
from jounce.case.case import FOUND, Case
from jounce.checks import Check, run_checks
from jounce.checks.driven import Driven, driven
from jounce.checks.limits import USUAL
from jounce.conventions.errors import InputError, InputProblems
from jounce.job.apply import planned_document, problems_between, wishes_of
from jounce.job.comparison import Row, compare, with_bands
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.job.on_road import felt as felt_in
from jounce.job.plan import Plan, make_plan
from jounce.job.planned_bands import planned_bands
from jounce.web.asking import Ask, find

__all__ = [
    "Worked",
    "bands_of",
    "car_read",
    "case_of",
    "felt",
    "felt_as",
    "job_of",
    "read_pair",
    "remarks_on",
    "swept_as",
    "work_out",
]


@dataclass(frozen=True, slots=True)
class Worked:
    """Car and job with the plan between them, and what the planned car does on its road; rows carry their bands.

    ``bands`` are those of everything that is told of the planned car, its settings among it.
    """

    job: JobDocument
    car: CarDocument
    planned: CarDocument
    plan: Plan
    rows: tuple[Row, ...]
    checks: tuple[Check, ...]
    drive: Driven
    bands: Mapping[str, Band]

    def row(self, key: str) -> Row:
        """One row by its key."""
        return next(row for row in self.rows if row.key == key)


def job_of(ask: Ask) -> tuple[Entry, Entry]:
    """The job that the address names, and its car.

    Args:
        ask: the request

    Raises:
        InputError: there is none, or it belongs to no car
    """
    job = find(ask, "job")
    if job.belongs_to is None:
        raise InputError("This job belongs to no car", found=job.name, todo="Make it again from the car's page.")
    return job, ask.book.entry(job.belongs_to)


@lru_cache(maxsize=32)
def car_read(text: str) -> CarDocument:
    """A car by the text of its document."""
    return parse_car(text, "the car")


@lru_cache(maxsize=16)
def remarks_on(car_text: str) -> tuple[Remark, ...]:
    """What is unusual about a car, in what was measured and in what follows from it.

    Args:
        car_text: TOML of the car
    """
    return all_remarks(car_read(car_text))


@lru_cache(maxsize=16)
def bands_of(car_text: str) -> Mapping[str, Band]:
    """The ± of everything that is told of a car as it was found.

    Args:
        car_text: TOML of the car
    """
    return bands(car_read(car_text))


@lru_cache(maxsize=32)
def read_pair(job_text: str, car_text: str) -> tuple[JobDocument, CarDocument]:
    """A job and its car.

    Raises:
        InputProblems: what is wrong with one of them, or with the two together
    """
    job, car = parse_job(job_text, "the job"), car_read(car_text)
    problems = problems_between(car, job)
    if problems:
        raise InputProblems(problems, place="the job")
    return job, car


@lru_cache(maxsize=8)
def case_of(job_text: str, car_text: str) -> Case:
    """The case of a job, or of a car alone, from the texts of its documents.

    Args:
        job_text: TOML of the job; empty for the car alone
        car_text: TOML of the car

    Raises:
        JounceError: a document is wrong, or what is asked cannot be
    """
    if not job_text:
        return Case(car_read(car_text))
    worked = work_out(job_text, car_text)
    return Case(worked.car, worked.job, (worked.planned, worked.plan))


@lru_cache(maxsize=16)
def work_out(job_text: str, car_text: str) -> Worked:
    """Everything of a job, from the texts of its two documents.

    Args:
        job_text: TOML of the job
        car_text: TOML of its car

    Raises:
        JounceError: a document is wrong, or what is asked cannot be
    """
    job, car = read_pair(job_text, car_text)
    planned = planned_document(car, job)
    plan = make_plan(car, planned, wishes_of(car, job))
    sure = planned_bands(car, job, plan)
    rows = with_bands(compare(car, plan), bands_of(car_text), sure)
    drive = driven(planned, plan, USUAL["brisk"].value)
    return Worked(job, car, planned, plan, tuple(rows), tuple(run_checks(job, planned, plan, drive=drive)), drive, sure)


def felt(job_text: str, car_text: str) -> Mapping[str, Feel]:
    """What the car feels like, as found and as planned.

    Args:
        job_text: TOML of the job
        car_text: TOML of its car
    """
    return {"found": felt_as(job_text, car_text, "found"), "planned": felt_as(job_text, car_text, "planned")}


def felt_as(job_text: str, car_text: str, state: Literal["found", "planned"]) -> Feel:
    """What the car feels like in one of its two states; it takes some seconds.

    Args:
        job_text: TOML of the job
        car_text: TOML of its car
        state: as found or as planned
    """
    return swept_as(job_text, car_text, state)[0]


@lru_cache(maxsize=32)
def swept_as(job_text: str, car_text: str, state: Literal["found", "planned"]) -> tuple[Feel, Cornering]:
    """What the car feels like in one of its two states, and the sweep over both turns that says so.

    Args:
        job_text: TOML of the job
        car_text: TOML of its car
        state: as found or as planned
    """
    states = case_of(job_text, car_text).states
    return felt_in((states[0] if state == FOUND else states[-1]).state)
