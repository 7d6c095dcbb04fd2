"""The travel table: every column explained, and the sense of every sign poked."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.axle.motions import MODES
from jounce.behaviour.axle.travel import column_map, travel_table
from tests.demo_car import demo_axle

PAGE = Path(__file__).parents[2] / "docs" / "travel-columns.md"


def table(axle, motion, *drive):
    model = demo_axle(axle)
    return travel_table(model.stand, model.linkage, motion, np.array(drive, dtype=float))


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_every_column_stands_on_the_page(axle):
    page = PAGE.read_text("utf-8")
    names = {c.name.removeprefix("left_").removeprefix("right_") for c in table(axle, "heave", 0.0).columns}

    assert [name for name in sorted(names) if f"`{name}`" not in page] == []


@pytest.mark.parametrize("motion", list(MODES))
def test_no_number_is_missing_where_it_should_exist(motion):
    columns = column_map(table("front", motion, -0.02, 0.0, 0.02))

    for name in ("left_camber", "right_toe", "track", "roll_centre_height", "left_damper_length", "left_trail"):
        assert np.isfinite(columns[name]).all(), name


def test_signs_of_roll_steer_and_heave():
    roll = column_map(table("front", "roll", np.radians(2.0)))
    steer = column_map(table("front", "steer", 0.02, -0.02))
    heave = column_map(table("front", "heave", 0.0, 0.03))

    assert roll["right_travel"][0] > 0.02 > -0.02 > roll["left_travel"][0]  # right side down: right wheel up
    assert roll["right_camber"][0] == pytest.approx(
        roll["right_camber_to_body"][0] + np.radians(2.0), abs=2e-4
    )  # the outer wheel's top leans out with the body
    # The rack lies behind the axle: pushed to the left it turns the wheels to the right.
    assert steer["left_steer"][0] < 0 < steer["left_steer"][1]
    assert heave["left_damper_ratio"][0] > 0.9
    assert heave["left_torsion_bar_ratio"][0] > 0
    assert heave["left_wheel_centre_z"][1] - heave["left_wheel_centre_z"][0] == pytest.approx(0.03, abs=1e-12)


def test_construction_and_forces_agree_for_a_symmetric_axle_in_heave():
    """Both equal y dy/dz of the contact point's path (ISO 8855, small roll); the turning of the contact is second order."""
    columns = column_map(table("front", "heave", -0.03, 0.0, 0.03))

    assert columns["roll_centre_height"] == pytest.approx(columns["roll_centre_construction_height"], abs=2e-3)


def test_roll_centre_of_the_beam_is_where_the_rod_crosses_the_centre_plane():
    """The crossing is the exact answer for upright wheels; camber and the bushes' setting shift it by little."""
    columns = column_map(table("rear", "heave", -0.03, 0.0, 0.03))

    assert columns["roll_centre_height"] == pytest.approx(columns["roll_centre_construction_height"], abs=2e-3)
