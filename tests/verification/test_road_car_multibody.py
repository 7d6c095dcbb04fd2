"""The whole car on its road against a general multibody library: loads, angles, travels, far beyond wheel lift.

Source of the second method: exudyn (J. Gerstmayr), static solution of rigid bodies, joints and springs; see
`road_car_twin`.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from jounce.behaviour.road.of_document import aboard as loads_aboard
from jounce.behaviour.road.of_document import car_as_found, car_of
from jounce.behaviour.road.road_car import Load
from jounce.fit.car_values import CarValues
from jounce.fit.readings import ReadingPlace
from tests.behaviour.demo_layouts import CARS, document
from tests.verification.road_car_twin import RoadCarTwin

LOAD = 1e-5
"""Agreement asked for [N]."""

PLACE = 1e-8
"""Agreement asked for [m]."""

ANGLE = np.radians(1e-6)
"""Agreement asked for [rad]."""

BRISK, QUICK = "brisk-14.toml", ("brisk-14.toml", "comfrey-20.toml")
STANDING, LEFT, RIGHT = (0.0, 0.0), (4.0, 0.0), (-4.0, 0.0)
HARD_LEFT, HARD_RIGHT = (8.0, 0.0), (-8.0, 0.0)
BRAKING, DRIVING = (0.0, -4.9), (0.0, 2.94)
TRAILING_THE_BRAKE, LEAVING_THE_CURVE = (3.0, -4.0), (-5.0, 2.0)
STATES = (STANDING, LEFT, HARD_LEFT, RIGHT, HARD_RIGHT, BRAKING, DRIVING, TRAILING_THE_BRAKE, LEAVING_THE_CURVE)
"""Accelerations to the left and ahead [m/s²]."""


@cache
def road_car_of(car):
    """A demo car as found."""
    return car_as_found(document(car))


def named_layouts():
    """Demo cars whose axles have twins; those beyond a few are for the slow suite."""
    for car in CARS:
        if "linkage" not in (document(car).front.layout, document(car).rear.layout):
            yield pytest.param(car, marks=[] if car in QUICK else [pytest.mark.validation_slow])


def agrees(car, found, ours):
    """The library's state and the program's in all that both tell."""
    assert ours.reached.all()
    assert found.load == pytest.approx(ours.acted.load[0], abs=LOAD)
    assert found.travel == pytest.approx(ours.travel[0], abs=PLACE)
    assert found.heave == pytest.approx(ours.freedoms[0, 0], abs=PLACE)
    assert found.pitch == pytest.approx(ours.pitch[0], abs=ANGLE)
    assert found.roll == pytest.approx(ours.roll[0], abs=ANGLE)
    assert found.centre == pytest.approx(ours.acted.centre[0], abs=PLACE)
    assert found.foot == pytest.approx(ours.acted.foot[0], abs=PLACE)
    assert found.axis == pytest.approx(ours.acted.axis[0], abs=ANGLE)
    # What holds the body forward, sideways and in yaw has nothing to hold: the tyres' forces do.
    assert found.held == pytest.approx(np.zeros(3), abs=LOAD)
    for path, axle in zip(ours.paths, car.axles, strict=True):
        both = {measure: row for measure, row in axle.row.items() if measure in found.readings}

        assert len(both) >= 2
        assert [found.readings[m] for m in both] == pytest.approx(
            [path.measure[0, r] for r in both.values()], abs=PLACE
        )


@pytest.mark.parametrize("name", list(named_layouts()))
def test_car_rests_where_the_multibody_library_puts_it(name):
    car = road_car_of(name)
    twin = RoadCarTwin(document(name), car)
    for across, ahead in STATES:
        agrees(car, *twin.rest(across, ahead))


@pytest.mark.parametrize(("across", "lifted"), [(10.5, (1, 0)), (-10.5, (1, 1))])
def test_car_on_three_wheels_rests_there_too(across, lifted):
    car = road_car_of(BRISK)
    found, ours = RoadCarTwin(document(BRISK), car).rest(across, 0.0)

    assert found.load[lifted] == 0.0
    assert found.load.min() == 0.0 < np.sort(found.load.ravel())[1]
    agrees(car, found, ours)


TURNS = (STANDING, (5.0, 0.0), (-5.0, 0.0), DRIVING, BRAKING)


def test_with_people_aboard():
    aboard = (Load("passenger", 90.0, np.array([-1.2, -0.35, 0.5])), Load("luggage", 40.0, np.array([-2.7, 0.1, 0.6])))
    car = road_car_of(BRISK).with_loads(aboard)
    twin = RoadCarTwin(document(BRISK), car)
    for acting in TURNS:
        agrees(car, *twin.rest(*acting))


@pytest.mark.parametrize("aboard", [(), (("passenger", 80.0),)])
def test_the_roll_gradient_that_a_fit_reads_is_that_of_both_turns(aboard):
    car = document(BRISK)
    twin = RoadCarTwin(car, road_car_of(BRISK).with_loads(loads_aboard(car, dict(aboard))))
    left, right = (twin.rest(*turn)[0].roll for turn in (LEFT, RIGHT))
    told = CarValues(car, (), [ReadingPlace("roll-gradient", aboard=aboard)])(np.zeros(0)).values[0]

    assert told == pytest.approx((left - right) / 8.0, abs=ANGLE / 4)


def test_with_rods_of_another_length():
    found = road_car_of(BRISK)
    front, rear = (on_body.axle for on_body in found.axles)
    settings = {
        "rear.panhard": float(rear.stand.reference_values(["rear.panhard"])[0, 0]) + 0.006,
        "front.left.tie_rod": float(front.stand.reference_values(["front.left.tie_rod"])[0, 0]) - 0.004,
    }
    car = car_of(document(BRISK), front, rear, settings)
    twin = RoadCarTwin(document(BRISK), car)
    for acting in TURNS:
        agrees(car, *twin.rest(*acting, settings=settings))


def test_on_uneven_ground():
    car, ground = road_car_of(BRISK), np.array([[0.020, 0.0], [-0.010, 0.005]])
    twin = RoadCarTwin(document(BRISK), car)
    for acting in TURNS:
        agrees(car, *twin.rest(*acting, ground=ground))


def test_with_wheels_steered():
    car = road_car_of(BRISK)
    twin = RoadCarTwin(document(BRISK), car, rack=0.030)
    for acting in (STANDING, (5.0, 0.0), (-5.0, 0.0), BRAKING):
        found, ours = twin.rest(*acting)

        assert abs(found.axis[0, 0, 0]) > np.sin(np.radians(11.0))
        agrees(car, found, ours)


@pytest.mark.parametrize(
    ("what", "acting"),
    [
        ("centre of gravity", LEFT),
        ("unsprung mass", LEFT),
        ("unsprung mass", BRAKING),
        ("tyre radius", LEFT),
    ],
)
def test_a_thousandth_off_is_seen(what, acting):
    """The comparison has teeth: the program's car a little wrong no longer agrees with the library's."""
    car = road_car_of(BRISK)
    wrong = {
        "centre of gravity": lambda: replace(car, sprung_centre=car.sprung_centre * np.array([1, 1, 1.001])),
        "unsprung mass": lambda: replace(car, unsprung=car.unsprung * 1.001),
        "tyre radius": lambda: replace(car, radius=car.radius * 1.001),
    }[what]()
    found, ours = RoadCarTwin(document(BRISK), wrong).rest(*acting)

    off = np.abs(found.load - ours.acted.load[0]).max() / LOAD, np.abs(found.travel - ours.travel[0]).max() / PLACE

    assert max(off) > 10


def test_torque_of_the_drive_shafts_is_seen():
    """A car whose shafts did not turn its body would pitch otherwise by far more than the two methods differ."""
    car = road_car_of(BRISK)
    twin = RoadCarTwin(document(BRISK), car)
    found, ours = twin.rest(*DRIVING)
    agrees(car, found, ours)
    twin.put_shafts = False
    without, _ = twin.rest(*DRIVING)

    assert abs(without.pitch - found.pitch) > 100 * ANGLE
