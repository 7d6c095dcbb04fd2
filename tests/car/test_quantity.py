"""The forms in which a measured number and a point may be written."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.car.file.quantity import Measured, MeasuredPoint, PointEntry, read_measured, read_point, read_toe_across
from jounce.conventions.axes import Side
from jounce.conventions.errors import InputError
from jounce.conventions.units import DEG, INCH, Kind


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        (22.5, (0.0225, 0, "")),
        ("22.5 mm", (0.0225, 0, "")),
        ("22.5 mm ± 0.1 mm", (0.0225, 0.0001, "")),
        ("22.5 ± 0.1 mm", (0.0225, 0.0001, "")),
        ("22.5 mm ± 0.1", (0.0225, 0.0001, "")),
        ("22.5 +/- 0.1", (0.0225, 0.0001, "")),
        ("-2 ± 0.5 mm", (-0.002, 0.0005, "")),
        ("0.9 in ± 0.01", (0.9 * INCH, 0.01 * INCH, "")),
        ("7/8 ± 1/16 in", (7 / 8 * INCH, INCH / 16, "")),
        ("1 in ± 1 mm", (INCH, 0.001, "")),
        ({"value": 22.5, "plus_minus": 0.1, "from": "calliper"}, (0.0225, 0.0001, "calliper")),
        ({"value": "22.5 ± 0.1 mm"}, (0.0225, 0.0001, "")),
        ({"value": "22.5 ± 0.1 mm", "plus_minus": "0.2 mm"}, (0.0225, 0.0002, "")),
    ],
)
def test_forms_of_a_number(written: object, expected: tuple[float, float, str]) -> None:
    measured = read_measured(written, Kind.LENGTH)

    assert (measured.value, measured.plus_minus) == pytest.approx(expected[:2], rel=1e-12)
    assert measured.origin == expected[2]


def test_angles_with_minutes_have_bands_too() -> None:
    measured = read_measured("-0°30' ± 0°06'", Kind.ANGLE)

    assert measured.value == pytest.approx(-0.5 * DEG)
    assert measured.plus_minus == pytest.approx(0.1 * DEG)


@pytest.mark.parametrize(
    "written",
    [
        "22.5 mm ± -0.1 mm",
        "22.5 ± 0.1 ± 0.2 mm",
        "± 0.1 mm",
        {"value": 1, "plus_minus": -1},
        {"valu": 1},
        {"plus_minus": 1},
        {"value": 1, "from": 3},
        {"value": {"value": 1}},
        [22.5],
        None,
        True,
    ],
)
def test_other_forms_are_refused(written: object) -> None:
    with pytest.raises(InputError):
        read_measured(written, Kind.LENGTH)


def test_misspelt_key_gets_a_suggestion() -> None:
    with pytest.raises(InputError, match='Did you mean "plus_minus"\\?'):
        read_measured({"value": 1, "plusminus": 1}, Kind.LENGTH)


def test_forms_of_a_point() -> None:
    assert read_point([1, "2 mm", "1 in"]) == MeasuredPoint(0.001, 0.002, INCH)
    assert read_point({"at": [1, 2, 3], "plus_minus": 1.5, "from": "trammel"}) == MeasuredPoint(
        0.001, 0.002, 0.003, 0.0015, "trammel"
    )


@pytest.mark.parametrize(
    "written",
    [[1, 2], [1, 2, 3, 4], 5, "1, 2, 3", {"at": 5}, {"att": [1, 2, 3]}, [1, 2, None], [0, 0, 7000], ["1 m", 0, "7 m"]],
)
def test_what_is_no_point_of_a_car_is_refused(written: object) -> None:
    with pytest.raises(InputError):
        read_point(written)


def test_left_entry_is_mirrored_for_the_right_and_keeps_its_own_band() -> None:
    entry = {"at": [1, 2, 3], "plus_minus": 1, "from": "trammel"}
    axle = {"plus_minus": Measured(0.005), "origin": "estimate"}

    left = read_point(PointEntry(entry, Side.LEFT, from_left=True, **axle))
    right = read_point(PointEntry(entry, Side.RIGHT, from_left=True, **axle))

    assert right == left.mirrored() == MeasuredPoint(0.001, -0.002, 0.003, 0.001, "trammel")
    assert read_point(PointEntry([1, 2, 3], Side.LEFT, from_left=True, **axle)) == MeasuredPoint(
        0.001, 0.002, 0.003, 0.005, "estimate"
    )


def test_stated_zero_band_is_kept_against_that_of_the_axle() -> None:
    entry = PointEntry({"at": [0, 700, 275], "plus_minus": 0}, Side.LEFT, from_left=True, plus_minus=Measured(0.005))

    assert read_point(entry).plus_minus == 0


@pytest.mark.parametrize(
    ("side", "from_left", "y", "accepted"),
    [
        (Side.LEFT, True, 5, True),
        (Side.RIGHT, True, 5, True),
        (Side.LEFT, True, -5, False),
        (Side.RIGHT, True, -5, False),
        (Side.LEFT, False, -5, False),
        (Side.RIGHT, False, 5, False),
        (Side.RIGHT, False, -5, True),
        (Side.RIGHT, False, 0, True),
        (None, False, 5, True),
        (None, False, -5, True),
    ],
)
def test_point_lies_on_its_own_side(side: Side | None, *, from_left: bool, y: float, accepted: bool) -> None:
    entry = PointEntry([0, y, 0], side, from_left)
    if accepted:
        assert abs(read_point(entry).y) == abs(y) / 1000
        return
    with pytest.raises(InputError, match=r"mirrored side.*Turn the sign of y round"):
        read_point(entry)


def test_distance_and_coordinates() -> None:
    point = MeasuredPoint(0.3, 0.4, 0.0)

    assert point.distance(MeasuredPoint(0, 0, 0)) == pytest.approx(0.5)
    np.testing.assert_array_equal(point.xyz, [0.3, 0.4, 0.0])


@given(
    toe=st.floats(-20, 20), diameter=st.floats(300, 650), toe_band=st.floats(0.01, 1), diameter_band=st.floats(0.01, 5)
)
def test_toe_across_a_diameter_is_the_true_angle_and_carries_both_bands(
    toe: float, diameter: float, toe_band: float, diameter_band: float
) -> None:
    """The band is checked against differences of the formula, a second method."""
    across = Measured(diameter / 1000, diameter_band / 1000)
    angle = read_toe_across({"value": toe, "plus_minus": toe_band}, across)

    step = 1e-5
    by_toe = (math.asin((toe + step) / diameter) - math.asin((toe - step) / diameter)) / (2 * step) * toe_band
    by_diameter = (math.asin(toe / (diameter + step)) - math.asin(toe / (diameter - step))) / (2 * step) * diameter_band
    assert math.sin(angle.value) * diameter == pytest.approx(toe, abs=1e-9)
    assert angle.plus_minus == pytest.approx(math.hypot(by_toe, by_diameter), rel=1e-5)


def test_toe_longer_than_its_diameter_is_refused() -> None:
    with pytest.raises(InputError, match="not shorter"):
        read_toe_across("400 mm", Measured(0.365))
