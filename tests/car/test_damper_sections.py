"""Dampers, stops and tyres of a car file: every way to tell them, what becomes of them in the car, what is refused."""

from __future__ import annotations

from importlib.resources import files

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.static import loaded, standing_figures
from jounce.behaviour.ride.dampers import dampers_of
from jounce.car.file.reading import parse_car
from jounce.car.mechanics.assembly import axle_model
from jounce.conventions.errors import InputError
from tests.reference.whole_car import car_on_tyres, settle

DEMO_TEXT = files("jounce.demo").joinpath("brisk-14.toml").read_text("utf-8")
FRONT_CURVE = "curve = [[0.052, 60, 110], [0.13, 130, 250], [0.26, 190, 390], [0.52, 300, 620], [1.05, 520, 1050]]"
FRONT_STOP = "curve = [[0, 0], [15, 400], [30, 1500], [40, 4000]]"


def car(*changes):
    text = DEMO_TEXT
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    return parse_car(text, "car.toml")


def front(*changes):
    return loaded(axle_model(car(*changes), "front"))[0]


def law_of(axle, word, side="left"):
    return axle.elements[f"front.{side}.{word}"]


KNEES = """[front.damper.knee]
bump_slow = 1200
bump_knee = 0.13
bump_fast = 500
rebound_slow = 2400
rebound_knee = 0.13
rebound_fast = 900"""
REAR_CURVE = "curve = [[0.052, 30, 58], [0.13, 68, 136], [0.26, 105, 210], [0.52, 165, 340], [1.05, 290, 600]]"
CLICKS = """[rear.damper.clicks]
setting = 3
curve = [[0, 0.1, 100, 200], [0, 0.5, 300, 600], [6, 0.1, 60, 100], [6, 0.5, 180, 300]]"""


def test_slopes_and_clicks_stand_for_a_curve():
    told = dampers_of(car((FRONT_CURVE, KNEES), (REAR_CURVE, CLICKS)))

    assert told.unknown == ()
    assert float(told.curves["front", "left"].force(0.26)) == pytest.approx(1200 * 0.13 + 500 * 0.13)
    assert float(told.curves["rear", "right"].force(-0.5)) == pytest.approx(-450)


def test_a_shape_stands_for_a_bump_stop_s_curve():
    axle = front((FRONT_STOP, 'shape = "hardening"\nfirst_rate = 20\nsolid = 42'))
    stop = law_of(axle, "bump_stop")

    assert float(stop.law.force(np.array(0.021))) == pytest.approx(20e3 * 0.021 / 0.5, rel=1e-12)
    solid = next(one for one in axle.stops if one.name == "bump rubber solid")
    touch = next(one for one in axle.stops if one.name == "bump rubber touches")
    assert float(np.ravel(touch.limit - solid.limit)[0]) == pytest.approx(0.042)


def test_two_stages_and_a_polynomial():
    two = front((FRONT_STOP, 'shape = "two-stage"\nsoft_rate = 10\nhard_rate = 110\nhard_from = 20\nsolid = 45'))
    cubic = front((FRONT_STOP, 'shape = "polynomial"\ncoefficients = [5, 0, 0.1]\nreach = 40'))

    assert float(law_of(two, "bump_stop").law.force(np.array(0.04))) == pytest.approx(200 + 110e3 * 0.020)
    assert float(law_of(two, "bump_stop").law.stiffness(np.array(0.05))) == pytest.approx(110e3 + 1e6)
    assert float(law_of(cubic, "bump_stop").law.force(np.array(0.010))) == pytest.approx(50 + 100)


def test_a_droop_stop_pulls_the_wheel_up_and_ends_its_travel():
    stop = "[front.damper.droop_stop]\nfree_height = 20\n" + FRONT_STOP + "\n"
    axle = front((FRONT_CURVE, FRONT_CURVE + "\n" + stop))
    element = law_of(axle, "droop_stop")
    touch = 0.540 - 0.020

    assert axle.groups["front.left.droop_stop"] == "droop stop"
    assert np.ravel(element.displacement(np.array([touch + 0.015])))[0] == pytest.approx(0.015)
    assert float(np.ravel(element.law.force(np.array(0.015)))[0]) == pytest.approx(400)
    assert {"droop rubber touches", "droop rubber solid"} <= {one.name for one in axle.stops}


def test_gas_rises_over_the_stroke_and_leaves_the_car_where_it_stood():
    rising = car((FRONT_CURVE, "gas_force = 120\ngas_volume = 60\nrod_diameter = 20\n" + FRONT_CURVE))
    model = loaded(axle_model(rising, "front"))[0]
    gas = law_of(model, "gas_force").law

    assert float(gas.force(np.array(0.0))) == pytest.approx(120)
    assert float(gas.force(np.array(0.05))) > 150
    axles = [loaded(axle_model(rising, axle))[0] for axle in ("front", "rear")]
    height = rising.mass.centre_of_gravity_height.value
    on_tyres = car_on_tyres(*axles, height)
    sits = settle(on_tyres, {name: e for axle in axles for name, e in axle.elements.items()})
    assert max(abs(float(np.ravel(travel)[0])) for travel in sits.travel.values()) < 1e-9


def test_hard_ends_are_laws_where_their_rate_is_told():
    axle = front((FRONT_CURVE, "end_rate = 2000\n" + FRONT_CURVE))
    closed, opened = law_of(axle, "damper closed"), law_of(axle, "damper open")

    assert np.ravel(closed.law.force(closed.displacement(np.array([0.369]))))[0] == pytest.approx(2000, rel=1e-9)
    assert np.ravel(opened.law.force(opened.displacement(np.array([0.541]))))[0] == pytest.approx(2000, rel=1e-9)


def figures(*changes):
    axle = front(*changes)
    return standing_figures(axle, AxleStates()).wheels["left"]


def test_a_tyre_of_rising_rate_is_as_stiff_as_told_where_it_stands():
    plain, rising = figures(), figures(("tyre_rate = 170", "tyre_rate = 170\ntyre_rate_per_load = 20"))

    assert rising["ride_rate"] == pytest.approx(plain["ride_rate"], rel=1e-12)
    document = car(("tyre_rate = 170", "tyre_rate = 170\ntyre_rate_per_load = 20"))
    tyre = axle_model(document, "front").tyre("left")
    load = 290 * 9.80665
    assert float(tyre.stiffness(np.array([load + 1000]))[0]) == pytest.approx(190e3)


def test_pressure_and_measured_rows_of_a_tyre():
    more = axle_model(car(("tyre_rate = 170", "tyre_rate = 170\npressure = 2.4\nrate_pressure = 2.0")), "front")
    rows = "tyre_rate = 170\ntyre_curve = [[10, 1500], [20, 3300], [30, 5400]]"
    measured = axle_model(car(("tyre_rate = 170", rows)), "front")

    assert float(more.tyre_rate["left"][0]) == pytest.approx(170e3 * 1.14)
    assert float(np.ravel(measured.tyre("left").deflection(np.array([3300.0])))[0]) == pytest.approx(0.020)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (FRONT_STOP, "", 'neither "curve" nor "shape"'),
        (FRONT_STOP, FRONT_STOP + '\nshape = "hardening"', 'both "curve" and "shape"'),
        (FRONT_STOP, 'shape = "hardening"\nsolid = 42', '"hardening" needs "first_rate"'),
        (FRONT_STOP, 'shape = "hardening"\nfirst_rate = 20\nsolid = 42\nhard_rate = 30', '"hard_rate" has no meaning'),
        (FRONT_STOP, FRONT_STOP + "\nsolid_rate = 900", '"solid_rate" needs "solid"'),
        (FRONT_STOP, 'shape = "polynomial"\ncoefficients = [5, -0.5]\nreach = 40', "must rise with its compression"),
        (
            FRONT_CURVE,
            FRONT_CURVE + "\n[front.damper.clicks]\nsetting = 1\ncurve = [[0, 0.1, 9, 9], [1, 0.1, 8, 8]]",
            "told twice",
        ),
        (
            FRONT_CURVE,
            "[front.damper.clicks]\nsetting = 9\ncurve = [[0, 0.1, 90, 90], [6, 0.1, 80, 80]]",
            "0 to 6 clicks",
        ),
        (
            FRONT_CURVE,
            "[front.damper.clicks]\nsetting = 1\ncurve = [[0, 0.1, 9, 9], [6, 0.1, 8, 8], [0, 0.2, 9, 9]]",
            "do not stand together",
        ),
        (FRONT_CURVE, "gas_force = 120\ngas_volume = 5\nrod_diameter = 20", "more room than the damper's gas has"),
        (FRONT_CURVE, "gas_force = 120\ngas_volume = 60", '"gas_volume" needs "rod_diameter"'),
        (
            "closed_length = 370\nopen_length = 540\n" + FRONT_CURVE,
            "[front.damper.droop_stop]\nfree_height = 9\n" + FRONT_STOP,
            "open length is needed",
        ),
        ("tyre_rate = 170", "tyre_rate = 170\nrate_pressure = 2.0", '"rate_pressure" needs "pressure"'),
        ("tyre_rate = 170", "tyre_rate = 170\npressure = 5\nrate_pressure = 2.0", "tyre pressure"),
        (
            "tyre_rate = 170",
            "tyre_rate = 170\ntyre_rate_per_load = 9\ntyre_curve = [[10, 1500], [20, 3300]]",
            "rises in two ways",
        ),
    ],
)
def test_what_does_not_fit_together_is_told(old: str, new: str, words: str):
    with pytest.raises(InputError, match=words):
        car((old, new))
