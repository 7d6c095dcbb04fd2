"""Bands against what the laws of the parts say, and against a sample of cars."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from statistics import NormalDist

import numpy as np
import pytest

from jounce.behaviour.bands import FoundCar, RestPlace, as_found_standing, bands, bands_at, figures
from jounce.car.file.reading import parse_car
from jounce.conventions.certainty import DEVIATIONS_SHOWN, DEVIATIONS_TYPED, SHOWN_PER_TYPED, agrees, together
from tests.demo_car import demo_document


@cache
def demo_bands():
    return bands(demo_document())


def test_a_bars_diameter_counts_four_times_in_the_wheel_rate():
    """The first term of the wheel rate goes with d to the fourth power; the second, of the held torque, does not."""
    band = demo_bands()["front.left.wheel_rate"]
    share = dict(band.causes)["front.torsion_bar.diameter"]
    document = demo_document()
    rate = figures(document, "front", as_found_standing())["front.left.wheel_rate"][0]
    relative = SHOWN_PER_TYPED * 0.05e-3 / document.front.left.torsion_bar.diameter.value

    assert share / rate == pytest.approx(4 * relative, rel=0.12)


def test_a_result_that_no_band_reaches_has_none():
    assert demo_bands()["front.left.camber"].plus_minus == pytest.approx(0.0, abs=1e-12)


def test_a_scales_error_reaches_what_its_spring_carries():
    """A kilogram on a front scale is 9.8 N on the wheel, on a lever of about 0.3 m at the torsion bar."""
    car = FoundCar(demo_document())
    causes = dict(bands_at(car, RestPlace(np.zeros(7), {}))["front.left.spring_force"].causes)

    assert causes["mass.front_left"] == pytest.approx(SHOWN_PER_TYPED * 9.80665 * 0.3, rel=0.15)


def test_quantiles_are_those_of_the_table():
    """NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1: 0.95 of the normal lie below 1.645, 0.975 below 1.960."""
    assert pytest.approx(1.645, abs=5e-4) == DEVIATIONS_SHOWN
    assert NormalDist().inv_cdf(0.975) == pytest.approx(1.960, abs=5e-4)
    assert pytest.approx(1.960, rel=0.021) == DEVIATIONS_TYPED


def test_a_band_is_of_nine_in_ten_where_95_of_100_were_typed():
    """A height that is measured and nothing else: its own ±, two deviations, told as 1.645."""
    typed = demo_document().heights.front_left.plus_minus

    assert demo_bands()["front.left.height"].plus_minus == pytest.approx(typed * 1.645 / 2, rel=1e-3)


def test_prediction_and_measurement_agree_inside_both_bands_together():
    """3 and 4 in deviations make 5, not 7: independent errors add as squares (JCGM 100:2008, 5.1.2)."""
    typed, shown = 3 * 2.0, 4 * DEVIATIONS_SHOWN

    assert together(typed, shown) == pytest.approx(5 * DEVIATIONS_SHOWN)
    assert agrees(4.99 * DEVIATIONS_SHOWN, typed, shown)
    assert not agrees(-5.01 * DEVIATIONS_SHOWN, typed, shown)


def test_one_point_alone_with_a_band_gives_bands() -> None:
    """Nothing that places the axle differs then between the variants, only what is measured of it."""
    text = re.sub(r"pivots_plus_minus.*\n", "", files("jounce.demo").joinpath("brisk-14.toml").read_text("utf-8"))
    text = re.sub(r' ± [^"]*"', '"', re.sub(r'plus_minus = ("[^"]*"|[\d.]+),? ?', "", text))
    at = "[-2368, 505, 500]"
    found = bands(
        parse_car(text.replace(f"spring_upper = {at}", f"spring_upper = {{ at = {at}, plus_minus = 2 }}"), "")
    )

    assert found["rear.left.wheel_rate"].causes[0][0] == "rear.pivots.spring_upper.x"
