"""Cases by the texts of their documents: each version of car, job and rules is worked out once for all pages."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

from jounce.behaviour.bands_over_travel import travel_bands
from jounce.book import Entry
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.case.case import Case
from jounce.checks.rules import NO_RULES, parse_rules
from jounce.conventions.errors import InputError, InputProblems
from jounce.job.apply import problems_between
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.measuring.walk import Step, steps_of
from jounce.numerics.arrays import Array
from jounce.web.charts.travel_curves import TRAVEL
from jounce.web.request import PageRequest, find

__all__ = ["car_case", "car_read", "car_steps", "car_travel_bands", "case_of", "job_of", "keep_case", "read_pair"]

_MOST_KEPT = 16
_KEPT: OrderedDict[tuple[str, str, str], Case] = OrderedDict()
"""Cases that were worked out elsewhere, by the texts of their documents; the oldest goes first."""


def job_of(ask: PageRequest) -> tuple[Entry, Entry]:
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
def car_steps(text: str) -> tuple[Step, ...]:
    """The walk round a car, by the text of its document."""
    return tuple(steps_of(car_read(text)))


@lru_cache(maxsize=16)
def car_travel_bands(text: str) -> Mapping[AxleName, Mapping[str, Array]]:
    """Bands of a car's curves over travel by the text of its document, each over `TRAVEL` [SI]."""
    return {axle: travel_bands(car_read(text), axle, TRAVEL) for axle in AXLES}


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
    if not job_text:
        return car_case(car_text)
    kept = None if widened else _KEPT.get((job_text, car_text, rules_text.strip()))
    return kept or _job_case(job_text, car_text, rules_text.strip(), widened)


def keep_case(texts: tuple[str, str, str], case: Case) -> None:
    """Keep a case that another process worked out, so that its pages open at once.

    Args:
        texts: TOML of the job, of the car and of the shop's own rules
        case: what they are together
    """
    job_text, car_text, rules_text = texts
    _KEPT[job_text, car_text, rules_text.strip()] = case
    while len(_KEPT) > _MOST_KEPT:
        _KEPT.popitem(last=False)


@lru_cache(maxsize=16)
def _job_case(job_text: str, car_text: str, rules_text: str, widened: tuple[tuple[str, float], ...]) -> Case:
    rules = parse_rules(rules_text, "the local rules") if rules_text else NO_RULES
    case = car_case(car_text).with_job(read_pair(job_text, car_text)[0], rules)
    return replace(case, widened=dict(widened)) if widened else case
