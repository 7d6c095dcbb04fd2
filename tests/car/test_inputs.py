"""Every number with a band can be varied, once, wherever it stands."""

from __future__ import annotations

import pytest

from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import InputRef, measured_inputs, with_value
from jounce.car.file.reading import parse_car
from jounce.conventions.axes import Side
from jounce.conventions.units import Kind
from tests.car.conftest import Changed


def ref(document: CarDocument, path: str) -> InputRef:
    """The one input with this path."""
    (found,) = (one for one in measured_inputs(document) if one.path == path)
    return found


def test_paths_are_unique_and_every_band_is_positive(document: CarDocument) -> None:
    refs = measured_inputs(document)

    assert len({one.path for one in refs}) == len(refs)
    assert all(one.plus_minus > 0 for one in refs)


def test_numbers_and_points_are_listed_with_band_origin_and_kind(document: CarDocument) -> None:
    height = ref(document, "mass.centre_of_gravity_height")
    top = ref(document, "front.pivots.strut_top.z")

    assert (height.value, height.plus_minus, height.origin, height.kind) == (0.52, 0.02, "estimate", Kind.LENGTH)
    assert (top.value, top.plus_minus, top.origin) == (0.79, 0.003, "estimate from the bolt heads")
    assert ref(document, "front.wheel.tyre_rate").kind is Kind.SPRING_RATE


def test_numbers_without_a_band_are_not_listed(document: CarDocument) -> None:
    paths = {one.path for one in measured_inputs(document)}

    assert "rear.wheel.tyre_rate" not in paths
    assert "front.torsion_bar.shear_modulus" not in paths
    assert not any("pivots_plus_minus" in path for path in paths)


def test_same_value_gives_the_same_document(document: CarDocument) -> None:
    for one in measured_inputs(document):
        assert with_value(document, one, one.value) == document, one.path


def test_every_input_changes_the_document_and_can_be_read_back(document: CarDocument) -> None:
    for one in measured_inputs(document):
        varied = with_value(document, one, one.value + one.plus_minus)

        assert varied != document, one.path
        assert ref(varied, one.path).value == pytest.approx(one.value + one.plus_minus, rel=1e-12), one.path
        assert with_value(varied, one, one.value) == document, one.path


@pytest.mark.parametrize(("coordinate", "sign"), [("x", 1), ("y", -1), ("z", 1)])
def test_shared_point_moves_on_both_sides_as_a_mirror_image(
    document: CarDocument, coordinate: str, sign: float
) -> None:
    one = ref(document, f"front.pivots.arm_front.{coordinate}")
    varied = with_value(document, one, one.value + 0.001)
    left, right = (varied.front.side(side).pivots.arm_front for side in Side)

    assert right == left.mirrored()
    assert getattr(left, coordinate) == pytest.approx(one.value + 0.001)
    assert getattr(right, coordinate) == pytest.approx(sign * (one.value + 0.001))


def test_value_that_was_replaced_on_one_side_moves_there_alone(changed: Changed) -> None:
    more = "\n[front.right.pivots]\nball_joint = [1, -642, 191]\n[front.left.torsion_bar]\ndiameter = '20.4 ± 0.1 mm'\n"
    document = parse_car(changed() + more, "car")

    right_joint = ref(document, "front.right.pivots.ball_joint.y")
    varied = with_value(document, right_joint, -0.650)
    assert right_joint.value == pytest.approx(-0.642)
    assert varied.front.right.pivots.ball_joint.y == -0.650
    assert varied.front.left == document.front.left

    shared_bar = ref(document, "front.torsion_bar.diameter")  # stands on the right only: the left was replaced
    varied = with_value(document, shared_bar, 0.021)
    assert varied.front.right.torsion_bar.diameter.value == 0.021
    assert varied.front.left.torsion_bar.diameter.value == pytest.approx(0.0204)


def test_point_shared_on_the_right_alone_counts_as_written_for_the_left(changed: Changed) -> None:
    document = parse_car(changed() + "\n[front.left.pivots]\narm_rear = [-181, 331, 205]\n", "car")
    shared = ref(document, "front.pivots.arm_rear.y")
    varied = with_value(document, shared, 0.335)

    assert shared.value == pytest.approx(0.330)
    assert varied.front.right.pivots.arm_rear.y == -0.335
    assert varied.front.left == document.front.left


def test_what_stands_in_for_another_key_moves_with_it(document: CarDocument) -> None:
    centre = with_value(document, ref(document, "front.pivots.wheel_centre.z"), 0.280)
    link = with_value(document, ref(document, "front.roll_bar.link_end.y"), 0.555)

    for side in Side:
        pivots = centre.front.side(side).pivots
        assert pivots.drive_shaft_outer.z == pivots.wheel_centre.z == 0.280
        front = link.front.side(side)
        assert front.roll_bar_2.link_end == front.roll_bar.link_end


def test_panhard_rod_is_not_mirrored(document: CarDocument) -> None:
    one = ref(document, "rear.panhard.axle_end.y")

    assert one.value == pytest.approx(-0.42)
    assert with_value(document, one, -0.43).rear.panhard.axle_end.y == -0.43


def test_band_of_a_toe_diameter_is_in_the_band_of_toe(changed: Changed) -> None:
    document = parse_car(changed(("toe_diameter = 365", 'toe_diameter = "365 ± 20 mm"')), "car")
    paths = {one.path for one in measured_inputs(document)}
    plain = parse_car(changed(), "car")

    assert "front.alignment.toe_diameter" not in paths
    assert ref(document, "front.alignment.toe").plus_minus > ref(plain, "front.alignment.toe").plus_minus
