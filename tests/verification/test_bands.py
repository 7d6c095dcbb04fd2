"""Bands against what the laws of the parts say, and against a sample of cars."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from jounce.behaviour.bands import Standing, as_found_standing, bands, figures
from jounce.car.inputs import measured_inputs, with_value
from tests.demo_car import demo_document


@cache
def demo_bands():
    return bands(demo_document(), as_found_standing())


def test_a_bars_diameter_counts_four_times_in_the_wheel_rate():
    """The first term of the wheel rate goes with d to the fourth power; the second, of the held torque, does not."""
    band = demo_bands()["front.left.wheel_rate"]
    share = dict(band.causes)["front.torsion_bar.diameter"]
    document = demo_document()
    rate = figures(document, "front", as_found_standing())["front.left.wheel_rate"][0]
    relative = 0.05e-3 / document.front.left.torsion_bar.diameter.value

    assert share / rate == pytest.approx(4 * relative, rel=0.12)


def test_band_is_the_spread_of_cars_drawn_from_the_inputs():
    """Half of the inputs' bands as standard deviations: the spread of 60 drawn cars meets half of the band."""
    document, standing = demo_document(), as_found_standing()
    random = np.random.default_rng(20260314)
    inputs = [i for i in measured_inputs(document) if not i.path.startswith("rear")]
    rates = []
    for _ in range(60):
        car = document
        for reference in inputs:
            car = with_value(car, reference, reference.value + random.normal() * reference.plus_minus / 2)
        rates.append(figures(car, "front", standing)["front.left.ride_frequency"][0])

    # With 60 samples the standard deviation of a spread is 9 %: three of them.
    assert np.std(rates) == pytest.approx(demo_bands()["front.left.ride_frequency"].plus_minus / 2, rel=0.27)


def test_a_result_that_no_band_reaches_has_none():
    assert demo_bands()["front.left.camber"].plus_minus == pytest.approx(0.0, abs=1e-12)


def test_a_scales_error_reaches_a_standing_position_as_it_reaches_the_car_as_found():
    """The band of the spring's load must not vanish because the loads of a position were worked out."""
    document = demo_document()
    elsewhere = Standing({(axle, side): 0.01 for axle in ("front", "rear") for side in ("left", "right")}, {})
    there = dict(bands(document, elsewhere)["front.left.spring_force"].causes)

    # A mirrored weight has its own entry: a kilogram is 9.8 N on the wheel, on a lever of about 0.3 m.
    assert there["mass.front_left"] == pytest.approx(9.80665 * 0.3, rel=0.15)
