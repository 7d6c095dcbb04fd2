"""What is possible but not usual is remarked upon, once, and stops nothing."""

from __future__ import annotations

import pytest

from jounce.car.document import CarDocument
from jounce.car.file import parse_car
from tests.car.conftest import Changed

WEIGHTS = "Check the corner weights."


def test_the_example_is_an_ordinary_car(document: CarDocument) -> None:
    assert document.remarks() == ()


@pytest.mark.parametrize(
    ("old", "new", "remarks"),
    [
        (
            'diameter = "20.5 ± 0.1 mm"',
            "diameter = 36",
            ("front.torsion_bar.diameter: unusual: 36.0 mm, usual range 14 to 32 mm. Check the value and its unit.",),
        ),
        (
            "loaded_radius = 275",
            "loaded_radius = 295",
            tuple(
                f"front, {side}: unusual: the tyre ends 20.0 mm below the ground. "
                "Check the height of wheel_centre and loaded_radius."
                for side in ("left", "right")
            ),
        ),
        (
            "wheel_centre = [0, 700, 275]",
            "wheel_centre = [6, 700, 275]",
            tuple(
                f"front, {side}: unusual: the wheel centre lies at x = 6.0 mm; the origin should be under it. "
                "Check the points and their origin."
                for side in ("left", "right")
            ),
        ),
        (
            "wheel_centre = [-2380, 690, 272]",
            "wheel_centre = [-2380, 590, 272]",
            ("rear: unusual: track 1180.0 mm, usual range 1200 to 1600 mm. Check the points and their origin.",),
        ),
        (
            "wheel_centre = [-2380, 690, 272]",
            "wheel_centre = [-1980, 690, 272]",
            tuple(
                f"{side}: unusual: wheelbase 1980.0 mm, usual range 2000 to 2800 mm. Check the points and their origin."
                for side in ("left", "right")
            ),
        ),
        (
            'front_left = "292 ± 1 kg"',
            "front_left = 340",
            (f"mass: unusual: share on front right and rear left 47.1 %, usual range 48 to 52 %. {WEIGHTS}",),
        ),
    ],
)
def test_remark(changed: Changed, old: str, new: str, remarks: tuple[str, ...]) -> None:
    assert parse_car(changed((old, new)), "car").remarks() == remarks


def test_values_at_the_ends_of_the_usual_range_are_usual(changed: Changed) -> None:
    for diameter in (14, 32):
        text = changed(('diameter = "20.5 ± 0.1 mm"', f"diameter = {diameter}"))

        assert parse_car(text, "car").remarks() == ()


def test_remark_on_one_side_names_the_side(changed: Changed) -> None:
    document = parse_car(changed() + "\n[front.right.torsion_bar]\ndiameter = 36\n", "car")

    assert [remark.split(":")[0] for remark in document.remarks()] == ["front.right.torsion_bar.diameter"]
