"""Levers: what each layout has, what they write into the job, and that the job read anew is the car that was moved."""

from __future__ import annotations

import tomllib

import numpy as np
import pytest

from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.case.case import Case
from jounce.job.file import parse_job
from jounce.live.levers import with_levers
from tests.live.demo_levers import car_of, case_of, levers, text_of


def test_each_layout_has_its_own():
    assert set(levers("bracken-16")) == {"front.height", "front.spring", "front.bar", "rear.height", "rear.spring"}
    assert levers("bracken-16")["rear.spring"].writes == "change.rear.leaf.rate"
    assert levers("brisk-14")["front.spring"].writes == "change.front.torsion_bar.diameter"
    assert levers("brisk-14")["rear.bar"].writes == "change.rear.inner_bar.diameter"


def test_a_lever_that_is_not_moved_writes_nothing():
    text = text_of("brisk-14-lower")

    assert with_levers(text, [*levers("brisk-14").values()], {}) == text


def test_a_bar_of_another_size_is_no_longer_the_shelf_s():
    lever = levers("brisk-14")["front.spring"]
    written = tomllib.loads(with_levers(text_of("brisk-14-lower"), [lever], {lever.key: 0.025}))

    assert written["change"]["front"]["torsion_bar"]["diameter"] == "25 mm"
    assert "torsion_bar" not in written["shelf"]["front"]
    assert written["shelf"]["rear"]["inner_bar"] == "IB-19"


def test_heights_are_come_to_with_loads_as_they_were():
    car = car_of("bracken-16")
    stood = car.stands(
        {"front.height": car.today.lower("front") - 0.01, "rear.height": car.today.lower("rear") + 0.004}
    )

    assert stood.lower("front") == pytest.approx(car.today.lower("front") - 0.01, abs=1e-8)
    assert stood.lower("rear") == pytest.approx(car.today.lower("rear") + 0.004, abs=1e-8)
    assert stood.sits.cross_share == pytest.approx(car.today.sits.cross_share, abs=1e-8)


@pytest.mark.parametrize("key", ["front.bar", "rear.spring"])
def test_job_read_anew_is_the_car_that_was_moved(key):
    """Another way: the file with the number, parsed, planned and put to rest from the beginning.

    The plan finds the springs' settings by itself and sets the angles anew where the car stands; of a leaf the settings
    have no steps, so that both stand alike.
    """
    car, lever = car_of("bracken-16"), levers("bracken-16")[key]
    text = with_levers(text_of("bracken-16-lower"), [lever], {key: lever.high})
    anew = Case(case_of("bracken-16").car, parse_job(text, "anew"))
    moved = car.stands({key: lever.high})

    for axle in ("front", "rear"):
        here, there = moved.axles[axle], anew.plan.planned.axles[axle]
        assert here.roll_stiffness == pytest.approx(there.roll_stiffness, rel=2e-3), axle
        assert moved.of_wheels(axle, "wheel_rate") == pytest.approx(
            np.mean([wheel.wheel_rate for wheel in there.wheels.values()]), rel=2e-3
        )
    across = steady(np.array([4.0]))
    assert at_rest(moved.car, across).roll[0] == pytest.approx(at_rest(anew.planned.car, across).roll[0], abs=2e-4)
    assert moved.axles["front"].roll_stiffness + moved.axles["rear"].roll_stiffness > 1.05 * sum(
        one.roll_stiffness for one in car.today.axles.values()
    )
