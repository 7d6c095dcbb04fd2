"""Levers: what each layout has, what they write into the job, and that the job read anew is the car that was moved."""

from __future__ import annotations

import math
import tomllib

import numpy as np
import pytest

from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.checks.dampers import heave_ratios
from jounce.job.file import parse_job
from jounce.live.figures import read_damping
from jounce.live.levers import with_levers
from jounce.live.moved import movable
from jounce.live.room import read_clearance, read_travel
from tests.live.demo_levers import car_of, case_of, levers, text_of


def test_each_layout_has_its_own():
    assert set(levers("bracken-16")) == {
        *("front.height", "front.spring", "front.bar", "front.damping", "front.rubber", "front.camber"),
        *("rear.height", "rear.spring", "rear.damping", "rear.rubber"),
    }
    assert levers("brisk-14")["front.camber"].label == "front camber, by the top plates"
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


def test_camber_is_set_by_plates_where_the_car_stands():
    """Another way: the job with that camber, planned from the beginning."""
    car = car_of("bracken-16")
    values = {"front.camber": math.radians(-1.1)}
    text = with_levers(text_of("bracken-16-lower"), [*levers("bracken-16").values()], values)
    plan = Case(case_of("bracken-16").car, parse_job(text, "anew")).plan
    heights = {
        f"{axle}.height": np.mean([plan.planned.sits.travel[axle, side] for side in ("left", "right")])
        for axle in ("front", "rear")
    }
    moved, front = car.stands({**values, **heights}), car.held["front"]
    planned = plan.settings["front"].wheels

    for side, way in front.inward(moved.car).items():
        assert way == pytest.approx(planned[side].plate_inward, abs=2e-5)
        assert abs(way - front.inward(car.today.car)[side]) > 1e-3
    assert moved.of_wheels("front", "wheel_rate") == pytest.approx(
        np.mean([wheel.wheel_rate for wheel in plan.planned.axles["front"].wheels.values()]), rel=2e-3
    )


def test_dampers_and_rubbers_in_the_job_read_anew():
    """The plan read anew has as much more damping as the lever says, and its rubbers where they were moved to."""
    car, own = car_of("bracken-16"), levers("bracken-16")
    values = {"front.damping": 1.4, "front.rubber": own["front.rubber"].low}
    text = with_levers(text_of("bracken-16-lower"), [*own.values()], values)
    anew = Case(case_of("bracken-16").car, parse_job(text, "anew"))
    ratios = heave_ratios(anew.planned.document, anew.plan.planned)
    moved = car.stands(values)

    assert ratios["front"] == pytest.approx(1.4 * read_damping(car, car.today)["front.damping"], rel=2e-3)
    assert ratios["rear"] == pytest.approx(read_damping(car, car.today)["rear.damping"], rel=2e-3)
    assert moved.of_wheels("front", "wheel_rate") == pytest.approx(car.today.of_wheels("front", "wheel_rate"), rel=1e-9)
    here, there = read_travel(moved, "front"), read_travel(car.today, "front")
    anew_met = {f"front.rubber.{met.name}.{met.side}": met.travel for met in anew.plan.planned.stops["front"]}
    for key in ("front.rubber.bump rubber touches.left", "front.rubber.bump rubber touches.right"):
        assert here[key] == pytest.approx(anew_met[key], abs=1e-4)
        assert here[key] > there[key] + 0.005


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


def test_the_clearance_on_other_tyres_is_that_of_the_check():
    wheels = "\n[change.front.wheel]\nloaded_radius = 255\n\n[change.rear.wheel]\nloaded_radius = 258\n"
    name = "brisk-14"
    case = Case(parse_car(text_of(name), name), parse_job(text_of(f"{name}-lower") + wheels, name))
    car = movable(case)
    check = next(one for one in case.checks if one.code == "GND-01")

    assert min(read_clearance(car, car.today).values()) == pytest.approx(check.value, abs=1e-6)
    for code in ("GND-01", "LDN-02"):  # of the car with its people and luggage too
        on_other, on_own = (
            next(one for one in checked.checks if one.code == code).value for checked in (case, case_of(name))
        )
        assert on_other < on_own - 0.006
