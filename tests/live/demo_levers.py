"""Demo jobs under the hand."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.job.file import parse_job
from jounce.live.levers import levers_of
from jounce.live.moved import movable


def text_of(name: str) -> str:
    """A file of the demo cars and jobs."""
    return files("jounce.demo").joinpath(f"{name}.toml").read_text("utf-8")


@cache
def case_of(name: str) -> Case:
    """A demo car with its job."""
    return Case(parse_car(text_of(name), name), parse_job(text_of(f"{name}-lower"), name))


@cache
def car_of(name: str):
    """It, to be moved."""
    return movable(case_of(name))


@cache
def levers(name: str):
    """Its levers by key."""
    return {one.key: one for one in levers_of(car_of(name), text_of(f"{name}-lower"), text_of(name))}


def nothing_told(_: float, __: str) -> None:
    """Hears how far the tables are."""
