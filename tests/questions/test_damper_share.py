"""What is left of an axle's damping: a bounced car of known loss, the band by sampling, and where it cannot be told."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from jounce.car.file.reading import parse_car
from jounce.case.state import FOUND, FoundState
from jounce.checks.dampers import heave_ratios
from jounce.conventions.certainty import DEVIATIONS_SHOWN
from jounce.fit.car_fit import CarFit, fit_car
from jounce.fit.car_values import CarValues
from jounce.fit.readings import GarageReading, ReadingPlace
from jounce.fit.unknowns import known_of, unknowns
from jounce.questions.damper_share import damper_shares
from jounce.questions.fit import fit_tables
from jounce.recordings.bounce import bounced
from jounce.recordings.free_swing import Underneath
from jounce.recordings.sensor_csv import parse_recording
from tests.fit.simulated import FIVE, NOT_KNOWN, document, read
from tests.house.places import ROOT
from tests.reference.bounced_car import Corner, as_csv, recorded

RATIO = ReadingPlace("damping-ratio", "front")


@cache
def maker() -> float:
    ratio = heave_ratios(document(), FoundState(FOUND, document()).standing)["front"]
    assert ratio is not None
    return ratio


@cache
def fitted() -> CarFit:
    """Five readings without errors of the car as its file says, and a damping ratio."""
    inputs = unknowns(document(), NOT_KNOWN)
    seen = CarValues(document(), inputs, FIVE)(known_of(inputs).values).values
    return fit_car(document(), [*read(FIVE, seen, np.zeros(5)), GarageReading(RATIO, 0.2, 0.04)], NOT_KNOWN)


def told(*ratios: GarageReading) -> tuple[str, bool]:
    """What is said of the front damping, the same car bounced otherwise."""
    ((name, said, sure),) = damper_shares(replace(fitted(), beside=ratios))
    assert name == "front damping"
    return said, sure


def share_of(said: str) -> tuple[float, float]:
    found = re.search(r"(\d+)% ± (\d+)%", said)
    assert found is not None, said
    return float(found[1]) / 100, float(found[2]) / 100


def test_the_fit_is_what_it_is_without_the_ratio():
    fit = fitted()

    assert [one.at.what for one in fit.readings] == [one.what for one in FIVE]
    assert [one.at for one in fit.beside] == [RATIO]
    read_on, known = fit_tables(fit, "Brisk 14", "metric")
    assert read_on.rows[-1].values[3] == "beside the fit"
    assert sum("of the maker's is left" in line for line in known.remarks) == 1


def test_a_bounced_car_with_dampers_that_lost_two_fifths_is_told_so():
    """The bounce is stepped by a general solver with dry friction, noise and a leaning phone; 60 % of the maker's ratio."""
    corner = Corner(1.45, 0.6 * maker(), 25.0)
    found = bounced(
        parse_recording(as_csv(*recorded(corner, 5))),
        Underneath(corner.tyre / corner.mass, corner.unsprung / corner.mass),
    )
    typed = found.ratio.plus_minus / DEVIATIONS_SHOWN * 2
    said, sure = told(GarageReading(RATIO, found.ratio.value, typed))
    share, band = share_of(said)

    assert sure
    assert abs(share - 0.6) <= band < 0.3
    assert "It has lost force" in said


def test_the_band_is_that_of_a_sampled_share():
    """Ratio, wheel rate and the maker's spread drawn as normal: half of the middle nine tenths."""
    fit = fitted()
    number = next(k for k, one in enumerate(fit.answers) if one.word == "wheel_rate")
    rate, wide = (float(of[number]) for of in (fit.sure_after.values, fit.sure_after.plus_minus))
    rng = np.random.default_rng(6)
    draws = 400_000
    ratio = rng.normal(0.2, 0.02, draws)
    makers = maker() * np.sqrt(rate / rng.normal(rate, wide / DEVIATIONS_SHOWN, draws)) * rng.normal(1, 0.075, draws)
    low, high = np.quantile(ratio / makers, (0.05, 0.95))
    share, band = share_of(told(GarageReading(RATIO, 0.2, 0.04))[0])

    assert band == pytest.approx((high - low) / 2, abs=0.02)
    assert share == pytest.approx(0.2 / maker(), abs=0.02)


def test_two_readings_count_by_their_weights():
    one = told(GarageReading(RATIO, 0.2, 0.04))
    twice = told(GarageReading(RATIO, 0.22, 0.0566), GarageReading(RATIO, 0.18, 0.0566))

    assert share_of(twice[0]) == share_of(one[0])


def test_what_cannot_be_told_is_said():
    said, sure = told()
    assert ("write its damping ratio down here" in said, sure) == (True, False)
    said, sure = told(GarageReading(RATIO, 0.5, 0.1))
    least = re.search(r"At least (\d+)%", said)
    assert least is not None
    assert not sure
    wheel = next(k for k, one in enumerate(fitted().answers) if one.word == "wheel_rate")
    rate, wide = (float(of[wheel]) for of in (fitted().sure_after.values, fitted().sure_after.plus_minus))
    rng = np.random.default_rng(8)
    makers = (
        maker() * np.sqrt(rate / rng.normal(rate, wide / DEVIATIONS_SHOWN, 200_000)) * rng.normal(1, 0.075, 200_000)
    )
    assert float(least[1]) / 100 == pytest.approx(float(np.quantile(0.4 / makers, 0.05)), abs=0.02)
    said, sure = told(GarageReading(RATIO, 0.2, 0.2))
    assert ("cannot be told well enough" in said, sure) == (True, False)


def test_without_the_makers_curve_nothing_is_told():
    text = (ROOT / "src" / "jounce" / "demo" / "brisk-14.toml").read_text("utf-8")
    car = parse_car(re.sub(r"(?m)^curve = \[\[0\.052, 60.*\n", "", text, count=1), "the car")
    ((_, said, sure),) = damper_shares(replace(fitted(), document=car))

    assert not sure
    assert "no curve of the maker's" in said
