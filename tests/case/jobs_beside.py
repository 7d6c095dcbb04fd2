"""Jobs on the demo car for tests that set them beside each other, worked out once."""

from __future__ import annotations

import re
from functools import cache

from jounce.car.file.reading import parse_car
from jounce.case.beside import Beside, beside
from jounce.case.case import Case
from jounce.job.file import parse_job
from tests.workbench import demo_text

__all__ = ["CAR", "JOB", "SOFTER", "TOO_LOW", "WITHOUT_BAR", "car_alone", "job_on", "set_beside"]

CAR, JOB = demo_text("brisk-14.toml"), demo_text("brisk-14-lower.toml")


def renamed(text: str, name: str) -> str:
    """The same job by another name."""
    return re.sub(r'(?m)^name = ".*"$', f'name = "{name}"', text, count=1)


SOFTER = renamed(JOB.replace("value = 25", "value = 20"), "Softer behind")
TOO_LOW = renamed(JOB.replace("lower = 35", "lower = 149"), "Lower than it goes")
WITHOUT_BAR = renamed(
    re.sub(r"(?s)\[change\.rear\.inner_bar\].*?(?=# Codes)", "", JOB).replace('inner_bar = "IB-19"\n', ""),
    "No bar in the tube",
)


@cache
def car_alone(text: str = CAR) -> Case:
    return Case(parse_car(text, "the car"))


@cache
def job_on(job: str, car: str = CAR) -> Case:
    return car_alone(car).with_job(parse_job(job, "the job"))


@cache
def set_beside(*jobs: str, car: str = CAR) -> Beside:
    return beside([job_on(job, car) for job in jobs])
