"""Angles wanted of each wheel for itself: what is read, what is refused, what the planned car shows."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.car.file.reading import read_car
from jounce.case.case import Case
from jounce.conventions.axes import CORNERS
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import DEG
from jounce.job.apply import wishes_of
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.job.plan import value_of
from tests.reference.whole_car import car_on_tyres, settle

DEMO = Path(str(files("jounce.demo")))
HEAD = '[job]\nname = "one"\ncar = "car.toml"\n'

APART = {
    "front": {"left_camber": -1.0, "right_camber": -0.6, "left_toe": 0.1, "right_toe": -0.05},
    "rear": {"left_camber": -1.2, "right_camber": -1.5, "left_toe": 0.05, "right_toe": 0.2},
}


@cache
def apart() -> Case:
    """Struts at both ends: tie rods in front, toe links behind."""
    written = {"job": {"name": "x", "car": "x"}, "wanted": {end: {"lower": 15, **APART[end]} for end in APART}}
    return Case(read_car(DEMO / "campion-22.toml"), JobDocument.model_validate(written))


def test_each_wheel_gets_its_own_angle_where_the_whole_car_stands():
    geometry = apart().plan.planned.geometry
    for end, wanted in APART.items():
        for key, angle in wanted.items():
            assert value_of(geometry[end], key) == pytest.approx(math.radians(angle), abs=1e-10)


def test_the_car_set_apart_rests_where_a_second_method_puts_it():
    """All bodies of both axles as one mechanism, brought to rest by multipliers."""
    planned = apart().plan.planned
    front, rear = planned.models
    joints = {
        joint: float(np.ravel(value)[0])
        for state in planned.states.values()
        for joint, value in (state.settings or {}).items()
    }
    whole = car_on_tyres(front, rear, apart().car.mass.centre_of_gravity_height.value)
    other = settle(whole, {**front.elements, **rear.elements}, joints, planned.sits.travel)

    for corner in CORNERS:
        assert planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)


def test_every_wheel_is_checked_against_its_own_angle():
    checks = [check for check in apart().checks if check.code == "ALN-01"]

    assert len(checks) == 8
    assert {check.verdict.value for check in checks} == {"pass"}
    told = {check.question: check.sentence for check in checks}
    assert "+0.20 deg wanted" in told["Is the right rear toe as wanted?"]


@pytest.mark.parametrize("angle", ["camber", "caster", "toe"])
@pytest.mark.parametrize(
    "keys", ["left_{} = 1", "right_{} = 1", "{0} = 1\nleft_{0} = 1\nright_{0} = 1", "{0} = 1\nleft_{0} = 1"]
)
def test_an_angle_wanted_of_one_wheel_or_in_two_ways_is_not_clear(angle, keys):
    with pytest.raises(InputProblems) as raised:
        parse_job(f"{HEAD}[wanted.front]\n{keys.format(angle)}\n", "")
    (problem,) = raised.value.problems

    assert f"The wanted {angle} is not clear" in str(problem)
    assert f'"{angle}", or "left_{angle}" with "right_{angle}"' in problem.allowed


def test_toes_of_both_wheels_may_be_lengths():
    """asin(1 / 400) is 0.1432 degrees."""
    text = '[wanted.front]\nleft_toe = "1 mm"\nright_toe = "0.2 deg"\ntoe_diameter = 400\n'
    job = parse_job(HEAD + text, "")
    angles = wishes_of(read_car(DEMO / "brisk-14.toml"), job).axles["front"].angles

    assert angles.toe["left"] == pytest.approx(math.asin(1 / 400), rel=1e-5)
    assert angles.toe["right"] == pytest.approx(0.2 * DEG)
    with pytest.raises(InputProblems, match="Toe is given as a length"):
        parse_job(HEAD + text.replace("toe_diameter = 400\n", ""), "")


def test_what_nothing_sets_is_refused_by_the_key_that_was_given():
    written = {"job": {"name": "x", "car": "x"}, "wanted": {"rear": {"left_caster": 1, "right_caster": 1}}}
    with pytest.raises(InputProblems) as raised:
        _ = Case(read_car(DEMO / "brisk-14.toml"), JobDocument.model_validate(written)).plan

    assert raised.value.problems[0].place == "wanted.rear.left_caster"
