"""What is possible but not usual is remarked upon, once, at the keys that it speaks of, and stops nothing."""

from __future__ import annotations

import pytest

from jounce.behaviour.plausible import all_remarks
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car
from jounce.car.file.toml_lines import lines_of_keys
from jounce.car.file.usual import USUAL
from tests.car.conftest import Changed, problems_in


def places(text: str) -> list[tuple[str, ...]]:
    return [remark.places for remark in parse_car(text, "car").remarks()]


def said(text: str) -> str:
    return " ".join(remark.text for remark in all_remarks(parse_car(text, "car")))


def test_the_example_is_an_ordinary_car(document: CarDocument) -> None:
    assert all_remarks(document) == ()


CENTRE, REAR_CENTRE = "front.pivots.wheel_centre", "rear.pivots.wheel_centre"


@pytest.mark.parametrize(
    ("old", "new", "at", "words"),
    [
        ('diameter = "20.5 ± 0.1 mm"', "diameter = 36", ("front.torsion_bar.diameter",), ("36.0 mm", "14 to 32 mm")),
        ("loaded_radius = 275", "loaded_radius = 281", ("front.wheel.loaded_radius", CENTRE), ("281.0 mm", "275.0 mm")),
        ("wheel_centre = [0, 700, 275]", "wheel_centre = [6, 700, 275]", (CENTRE,), ("x = 6.0 mm",)),
        ("wheel_centre = [-2380, 690, 272]", "wheel_centre = [-2380, 590, 272]", (REAR_CENTRE,), ("1180.0 mm",)),
        ("wheel_centre = [-2380, 690, 272]", "wheel_centre = [-1980, 690, 272]", (REAR_CENTRE, CENTRE), ("1980.0 mm",)),
        ('front_left = "292 ± 1 kg"', "front_left = 340", ("mass.front_right", "mass.rear_left"), ("47.1 %",)),
        (
            'front_left = "352 ± 1 mm"',
            "front_left = 440",
            ("heights.front_left", "heights.front_right"),
            ("440.0 mm left", "350.0 mm right"),
        ),
        (
            "arm_rear = [-180,",
            "arm_rear = [180,",
            ("front.pivots.arm_front", "front.pivots.arm_rear"),
            ("120.0 mm", "180.0 mm"),
        ),
    ],
)
def test_remark_stands_at_its_keys_with_what_was_measured(
    changed: Changed, old: str, new: str, at: tuple[str, ...], words: tuple[str, ...]
) -> None:
    text = changed((old, new))
    found = [remark for remark in parse_car(text, "car").remarks() if remark.places == at]

    assert found
    assert all(word in found[0].text for word in words)
    assert not any(key in found[0].text for key in at), "a key is no word for a person"


def test_a_remark_tells_the_lines_of_its_keys(changed: Changed) -> None:
    text = changed(('front_left = "352 ± 1 mm"', "front_left = 440"))
    (remark,) = parse_car(text, "car").remarks()
    number = text.split("\n").index("front_left = 440") + 1

    assert remark.located(lines_of_keys(text)).startswith(
        f"heights.front_left (line {number}), heights.front_right (line {number + 1}): "
    )


def test_values_at_the_ends_of_the_usual_range_are_usual(changed: Changed) -> None:
    for diameter in (14, 32):
        assert places(changed(('diameter = "20.5 ± 0.1 mm"', f"diameter = {diameter}"))) == []


@pytest.mark.parametrize(("height", "remarks"), [(370, 0), (371, 1)])
def test_arches_left_and_right_may_be_so_far_apart(changed: Changed, height: float, remarks: int) -> None:
    assert len(places(changed(('front_left = "352 ± 1 mm"', f"front_left = {height}")))) == remarks


def test_remark_on_one_side_names_the_side(changed: Changed) -> None:
    text = changed() + "\n[front.right.torsion_bar]\ndiameter = 36\n"

    assert places(text) == [("front.right.torsion_bar.diameter",)]


def test_a_wheelbase_that_differs_from_side_to_side_is_remarked(changed: Changed) -> None:
    text = changed() + "\n[rear.right.pivots]\nwheel_centre = [-2400, -690, 272]\n"

    (remark,) = parse_car(text, "car").remarks()
    assert remark.places == (REAR_CENTRE, "rear.right.pivots.wheel_centre")
    assert "2380.0 mm on the left and 2400.0 mm on the right" in remark.text


def test_a_coil_that_contradicts_the_scales_is_remarked_with_both(changed: Changed, car_text: str) -> None:
    line = next(line for line in car_text.split("\n") if line.startswith("free_length"))
    text = changed((line, "free_length = 410"))

    assert "410.0 mm" in said(text)
    assert "kg" in said(text)
    assert "contradict" in said(text)


DIAGONAL = """
[trammel.diagonal]
between = ["front.left.ball_joint", "front.right.arm_front"]
length = "{length} mm ± 2 mm"
"""


@pytest.mark.parametrize(("length", "remarks"), [(977, 0), (1000, 1), (950, 1)])
def test_a_trammels_length_that_contradicts_its_points_is_remarked(
    changed: Changed, length: float, remarks: int
) -> None:
    """Points (0, 640, 190) and (120, -330, 205): sqrt(120² + 970² + 15²) = 977.5 mm."""
    found = parse_car(changed() + DIAGONAL.format(length=length), "car").remarks()

    assert len(found) == remarks
    for remark in found:
        assert remark.places == ("trammel.diagonal.length", "front.pivots.ball_joint", "front.pivots.arm_front")
        assert f"{length}.0 mm measured" in remark.text
        assert "977.5 mm by their coordinates" in remark.text


def test_a_trammel_between_points_that_are_not_there_is_refused(changed: Changed) -> None:
    found = problems_in(changed() + DIAGONAL.format(length=977).replace("arm_front", "arm_fornt"))

    assert found == {
        "trammel.diagonal.between": '"front.right.arm_fornt" is no point of this car. Did you mean "front.right.arm_front"?'
    }


def test_every_range_says_where_it_comes_from() -> None:
    assert all(usual.words and usual.origin and usual.low < usual.high for usual in USUAL.values())
