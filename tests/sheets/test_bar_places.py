"""Where an anti-roll bar goes on a car whose layout is not the first one: told from its wheel's centre."""

from __future__ import annotations

import re

import pytest

from jounce.car.file.reading import parse_car
from jounce.job.bar_places import bar_places
from jounce.job.file import parse_job
from tests.workbench import demo_text

BAR = """
[change.rear.roll_bar]
diameter = 16
arm_end = [-2640, 600, 330]
bend = [-2450, 520, 330]
bush = [-2450, 400, 330]
link_end = [-2640, 610, 240]
link_on = "knuckle"
"""


def test_a_bar_on_the_body_is_told_from_the_wheel_s_centre() -> None:
    car = parse_car(demo_text("comfrey-20.toml"), "car")
    centre = car.rear.left.pivots.wheel_centre
    (told,) = bar_places(parse_job(demo_text("comfrey-20-lower.toml") + BAR, "job"), car, "metric")

    found = re.fullmatch(
        r"added rear anti-roll bar: middle of its left bush on the body ([\d.]+) mm ahead and ([\d.]+) mm above the left "
        r"wheel's centre, ([\d.]+) mm from the middle of the car",
        told,
    )
    assert found is not None, told
    assert [float(one) for one in found.groups()] == pytest.approx([-2450 - 1e3 * centre.x, 330 - 1e3 * centre.z, 400])
