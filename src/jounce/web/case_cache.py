"""Cases by the texts of their documents: each version of car, job and rules is worked out once for all pages."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from jounce.book import Entry
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.checks.rules import NO_RULES, parse_rules
from jounce.conventions.errors import InputError, InputProblems
from jounce.job.apply import problems_between
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.web.request import Ask, find

__all__ = ["car_case", "car_read", "case_of", "job_of", "read_pair"]


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
def car_case(text: str) -> Case:
    """The case of a car alone, by the text of its document."""
    return Case(car_read(text))


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


def case_of(job_text: str, car_text: str, rules_text: str = "", widened: tuple[tuple[str, float], ...] = ()) -> Case:
    """The case of a job, or of a car alone, from the texts of its documents.

    Args:
        job_text: TOML of the job; empty for the car alone
        car_text: TOML of the car
        rules_text: TOML of the shop's own rules; empty where it has none
        widened: quantities with what their planned bands are multiplied by [-]

    Raises:
        JounceError: a document is wrong
    """
    return _job_case(job_text, car_text, rules_text.strip(), widened) if job_text else car_case(car_text)


@lru_cache(maxsize=16)
def _job_case(job_text: str, car_text: str, rules_text: str, widened: tuple[tuple[str, float], ...]) -> Case:
    rules = parse_rules(rules_text, "the local rules") if rules_text else NO_RULES
    case = car_case(car_text).with_job(read_pair(job_text, car_text)[0], rules)
    return replace(case, widened=dict(widened)) if widened else case
