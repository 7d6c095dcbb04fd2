"""Parts on which a car cannot stand are refused in plain words: where springs lift it to, what a damper does not reach."""

from __future__ import annotations

import pytest

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.conventions.axes import End
from jounce.conventions.errors import Impossible
from jounce.job.file import parse_job
from jounce.measuring.beginning import axles_like, begun_like

JOB = """
[job]
name = "far too long"
car = "car.toml"
[wanted.front]
lower = 80
[change.front.spring]
rate = 52
free_length = 722.8
solid_length = 110
[change.front.perch]
lowest = -15
highest = 25
pitch = 2
[change.front.damper]
closed_length = 331.8
open_length = 572
[change.front.bump_stop]
free_height = 40
curve = [[0, 0], [14, 400], [26, 1600], [34, 4500]]
"""


def test_springs_that_lift_the_car_beyond_its_travel_are_told() -> None:
    front, rear = axles_like(End.FRONT)["comfrey-20.toml/front"], axles_like(End.REAR)["yarrow-12.toml/front"]
    case = Case(parse_car(begun_like(front, rear), "car"), parse_job(JOB, "job"))

    with pytest.raises(
        Impossible, match=r"its springs lift it at the front left, front right by more than 100 mm\. Choose"
    ):
        _ = case.plan


def test_a_damper_too_short_for_the_height_as_found_is_told_as_that() -> None:
    front, rear = axles_like(End.FRONT)["comfrey-20.toml/front"], axles_like(End.REAR)["yarrow-12.toml/front"]
    job = JOB.replace("lower = 80", "lower = 0").replace("open_length = 572", "open_length = 440")
    case = Case(parse_car(begun_like(front, rear), "car"), parse_job(job, "job"))

    with pytest.raises(
        Impossible, match=r"cannot stay as high as found: .*\(damper open\) already when it is lowered by"
    ):
        _ = case.plan
