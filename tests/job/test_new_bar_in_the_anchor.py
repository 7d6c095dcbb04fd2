"""A new torsion bar goes into the car's anchor: its bolt and what gives there stay, unless the change tells others."""

from __future__ import annotations

from importlib.resources import files

import pytest

from jounce.car.file.reading import parse_car
from jounce.car.parts import TorsionBarSection
from jounce.job.apply import planned_document
from jounce.job.file import parse_job

CAR = (files("jounce.demo") / "brisk-14.toml").read_text("utf-8")
BOLT = "\n[front.torsion_bar.adjuster]\npitch = 1.5\nlever = 70\nturns_up = 5\nturns_down = 4\n"
JOB = """
[job]
name = "other bars"
car = "brisk-14.toml"

[change.front.torsion_bar]
diameter = 23
active_length = 900
"""


def bar_of(job: str, car: str = CAR.replace("[front.damper]", BOLT + "\n[front.damper]", 1)) -> TorsionBarSection:
    document = parse_car(car, "car")
    return planned_document(document, parse_job(job, "job")).front.left.torsion_bar


def test_the_bolt_of_the_anchor_stays_with_the_car() -> None:
    bar = bar_of(JOB)

    assert bar.diameter.value == pytest.approx(0.023)
    assert (bar.adjuster.turns_up.value, bar.adjuster.turns_down.value) == (5, 4)


def test_a_bolt_that_the_change_tells_takes_its_place() -> None:
    other = "\n[change.front.torsion_bar.adjuster]\npitch = 1.25\nlever = 60\nturns_up = 8\nturns_down = 8\n"

    assert bar_of(JOB + other).adjuster.turns_up.value == 8


def test_what_gives_behind_the_bar_stays_and_is_not_counted_twice() -> None:
    soft = CAR.replace("[front.damper]", 'anchor_rate = "20000 N·m/rad"\n\n[front.damper]', 1).replace(
        'material = "hot-formed spring steel"\n\nanchor_rate', 'material = "hot-formed spring steel"\nanchor_rate'
    )
    kept, told = bar_of(JOB, soft), bar_of(JOB + 'series_rate = "15000 N·m/rad"\n', soft)

    assert (kept.anchor_rate.value, kept.series_rate) == (pytest.approx(20e3), None)
    assert (told.anchor_rate, told.series_rate.value) == (None, pytest.approx(15e3))
