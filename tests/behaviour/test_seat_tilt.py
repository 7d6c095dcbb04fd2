"""How a coil stands on a seat that swings: by a second method, and by hand on an arm that turns about a line."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.travel import column_map, travel_table
from jounce.car.mechanics.assembly import axle_model
from jounce.numerics.rotations import rotation_matrix
from tests.behaviour.demo_layouts import axle_of, axles, columns, document
from tests.behaviour.test_any_spring import with_spring

COILS = [pair for pair in axles() if "left_spring_seat_tilt" in columns(*pair, "heave", [0.0])]
TRAVEL = [-0.05, 0.0, 0.03]


def test_axles_with_coils_have_them_and_others_not():
    kinds = {axle_of(*pair)[0].layout for pair in COILS}

    assert {"beam-panhard", "semi-trailing-arm", "strut-coil", "double-wishbone"} <= kinds
    assert "strut-torsion-bar" not in kinds
    assert "beam-leaf" not in kinds


@pytest.mark.parametrize("pair", COILS, ids=lambda pair: axle_of(*pair)[0].layout)
def test_as_found_a_spring_stands_upright_on_both_seats(pair):
    found = columns(*pair, "heave", [0.0])

    for name in ("spring_seat_tilt", "spring_upper_seat_tilt", "spring_seat_offset"):
        assert found[f"left_{name}"][0] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("pair", COILS, ids=lambda pair: axle_of(*pair)[0].layout)
def test_offset_is_the_length_times_the_sine_of_the_tilt(pair):
    found = columns(*pair, "heave", TRAVEL)
    tilt, length = found["right_spring_seat_tilt"], found["right_spring_length"]

    assert found["right_spring_seat_offset"] == pytest.approx(length * np.sin(tilt), abs=1e-12)


def test_on_an_arm_that_turns_about_a_line_the_seat_turns_with_it():
    """The lower seat turned about the semi-trailing arm's line by hand, by the angle that the table gives for the arm."""
    car, axle = next(pair for pair in COILS if axle_of(*pair)[0].layout == "semi-trailing-arm")
    pivots = getattr(document(car), axle).left.pivots
    first, second, upper, lower, wheel = (
        getattr(pivots, name).xyz for name in ("arm_inner", "arm_outer", "spring_upper", "spring_lower", "wheel_centre")
    )
    found = columns(car, axle, "heave", TRAVEL)
    axis = (second - first) / np.linalg.norm(second - first)
    if np.cross(axis, wheel - first)[2] < 0:
        axis = -axis  # the sense that lifts the wheel
    for k, angle in enumerate(found["left_arm_angle"]):
        turned = rotation_matrix(axis * angle)
        seat, normal = first + turned @ (lower - first), turned @ ((upper - lower) / np.linalg.norm(upper - lower))
        line = (upper - seat) / np.linalg.norm(upper - seat)

        assert found["left_spring_length"][k] == pytest.approx(np.linalg.norm(upper - seat), rel=1e-9)
        sine = np.linalg.norm(np.cross(line, normal))
        assert np.sin(found["left_spring_seat_tilt"][k]) == pytest.approx(sine, abs=1e-9)


def test_a_seat_of_its_own_normal_is_mirrored():
    """A seat that leans inward as found: both sides tell the same tilt, that of the lean."""
    car = document("brisk-14.toml")
    car = with_spring(car, rate=17, seat_normal=[0.0, -0.1, 1.0])
    model = axle_model(car, "rear")
    found = column_map(travel_table(model.stand, model.linkage, "heave", np.array([0.0])))
    pivots = car.rear.left.pivots
    line = pivots.spring_upper.xyz - pivots.spring_lower.xyz
    lean = np.arccos(np.dot(line, [0, -0.1, 1.0]) / np.linalg.norm(line) / np.hypot(0.1, 1))

    assert found["left_spring_seat_tilt"][0] == pytest.approx(lean, rel=1e-9)
    assert found["right_spring_seat_tilt"][0] == pytest.approx(lean, rel=1e-9)
    assert found["left_spring_upper_seat_tilt"][0] == pytest.approx(0.0, abs=1e-9)
