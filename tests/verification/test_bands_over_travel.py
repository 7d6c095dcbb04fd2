"""Bands of curves over travel: beside real changes of each input, and beside the standing car's own bands."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.bands import bands
from jounce.behaviour.bands_over_travel import BANDED, travel_bands
from jounce.car.file.inputs import all_inputs, measured
from jounce.car.file.reading import parse_car
from jounce.car.file.variants import varied
from jounce.car.mechanics.assembly import axle_model
from tests.workbench import demo_text

TRAVEL = np.linspace(-0.06, 0.06, 7)
SHARE = 1e-3  # of each ±, by which an input is truly changed to either side


def by_differences(car, axle, travel=TRAVEL):
    """The bands by cars whose inputs were truly changed, one after the other, shape (travels,) each [SI].

    What is shown is 1.645 deviations, where a typed ± is two.
    """
    inputs = measured(all_inputs(car))
    sizes = np.array([one.plus_minus for one in inputs])
    ends = []
    for sign in (1, -1):
        model = axle_model(varied(car, inputs, sign * SHARE * sizes), axle)
        tables = [
            states_table(model.stand, model.linkage, AxleStates(left=one, right=one), (1.0, 1.0)) for one in travel
        ]
        ends.append([column_map(table) for table in tables])
    return {
        name: np.array(
            [
                1.6449 / 2 * np.linalg.norm((more[name] - less[name]) / (2 * SHARE))
                for more, less in zip(*ends, strict=True)
            ]
        )
        for name in BANDED
    }


@cache
def demo():
    return parse_car(demo_text("brisk-14.toml"), "brisk-14.toml")


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_bands_are_those_of_cars_that_were_truly_changed(axle) -> None:
    ours, theirs = travel_bands(demo(), axle, TRAVEL), by_differences(demo(), axle)

    for name in BANDED:
        assert ours[name] == pytest.approx(theirs[name], rel=1e-4, abs=1e-8), name


def test_where_the_car_stands_they_are_those_of_the_standing_car() -> None:
    found, standing = travel_bands(demo(), "front", TRAVEL), bands(demo())

    assert found["roll_centre_height"][3] == pytest.approx(standing["front.roll_centre_height"].plus_minus, rel=1e-9)
    assert found["left_camber"][3] == pytest.approx(standing["front.left.camber"].plus_minus, abs=1e-12)
    assert found["left_camber"][0] > 1e-4, "away from where it was measured, camber is unsure"


def test_between_its_places_a_band_is_smooth_enough_for_straight_pieces() -> None:
    fine = np.linspace(-0.06, 0.06, 25)
    found, at = travel_bands(demo(), "front", fine), by_differences(demo(), "front", fine)

    for name in BANDED:
        assert found[name] == pytest.approx(at[name], abs=0.03 * at[name].max()), name
