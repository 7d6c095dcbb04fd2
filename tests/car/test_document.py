"""What a file says becomes two complete sides, in true coordinates and SI."""

from __future__ import annotations

import datetime
import math

import pytest
from pydantic import ValidationError

from jounce.car.axles.beam_panhard import BeamPanhardAxle
from jounce.car.axles.strut_torsion_bar import StrutTorsionBarAxle
from jounce.car.file.document import CarDocument
from jounce.car.file.reading import parse_car
from jounce.conventions.axes import End, Side
from jounce.conventions.units import DEG, GPA, MM, N_PER_MM
from tests.car.conftest import Changed, problems_in


def test_numbers_arrive_in_si(document: CarDocument) -> None:
    assert document.mass.front_left.value == 292
    assert document.mass.total == 292 + 286 + 182 + 186
    assert document.heights.corner(End.REAR, Side.LEFT).value == pytest.approx(345 * MM)
    assert document.measured.date == datetime.date(2026, 3, 2)
    front, rear = document.front.side(Side.LEFT), document.rear.side(Side.LEFT)
    assert front.alignment.camber.value == pytest.approx(-0.5 * DEG)
    assert front.alignment.toe.value == pytest.approx(math.asin(0.5 / 365))
    assert front.wheel.tyre_rate.value == pytest.approx(180 * N_PER_MM)
    assert front.torsion_bar.diameter.value == pytest.approx(20.5 * MM)
    assert front.torsion_bar.shear_modulus.value == 78.5 * GPA
    assert rear.spring.rate.value == pytest.approx(20 * N_PER_MM)
    assert front.damper.curve[1] == pytest.approx((0.13, 250, 520))
    assert front.bump_stop.curve[1] == pytest.approx((0.02, 800))


def test_right_side_is_the_mirror_image(document: CarDocument) -> None:
    for end in End:
        left, right = (document.axle(end).side(side) for side in (Side.LEFT, Side.RIGHT))
        for key in type(left.pivots).point_keys():
            assert getattr(right.pivots, key) == getattr(left.pivots, key).mirrored(), key
        assert left.alignment == right.alignment
        assert left.wheel == right.wheel


def test_points_take_band_and_origin_from_their_axle_unless_they_have_their_own(document: CarDocument) -> None:
    pivots = document.front.side(Side.RIGHT).pivots
    axle_end = document.rear.panhard.axle_end

    assert (pivots.ball_joint.plus_minus, pivots.ball_joint.origin) == (0.001, "trammel and plumb line, 2026-03-02")
    assert (pivots.strut_top.plus_minus, pivots.strut_top.origin) == (0.003, "estimate from the bolt heads")
    assert axle_end.plus_minus == 0.001
    assert axle_end.y == pytest.approx(-0.42)


def test_one_side_can_differ_in_single_keys(changed: Changed) -> None:
    more = """
[front.right.pivots]
ball_joint = { at = [1, -642, 191], plus_minus = 2 }
[front.left.torsion_bar]
diameter = "20.4 mm"
[rear.right.alignment]
toe = 0
"""
    document = parse_car(changed() + more, "car")
    left, right = document.front.side(Side.LEFT), document.front.side(Side.RIGHT)

    assert right.pivots.ball_joint.xyz == pytest.approx([0.001, -0.642, 0.191])
    assert right.pivots.ball_joint.plus_minus == 0.002
    assert left.pivots.ball_joint.xyz == pytest.approx([0, 0.640, 0.190])
    assert right.pivots.arm_front == left.pivots.arm_front.mirrored()
    assert left.torsion_bar.diameter.value == pytest.approx(0.0204)
    assert right.torsion_bar.diameter.value == pytest.approx(0.0205)
    assert left.torsion_bar.active_length == right.torsion_bar.active_length
    assert document.rear.side(Side.RIGHT).alignment.toe.value == 0
    assert document.rear.side(Side.LEFT).alignment.toe.value == pytest.approx(DEG / 6)


def test_both_sides_can_be_written_in_full_without_a_shared_section(changed: Changed) -> None:
    shared = "[front.torsion_bar]\n"
    adjuster = "[front.torsion_bar.adjuster] "
    right = "\n[front.right.torsion_bar]\ndiameter = 21\nactive_length = 760\n"
    text = changed((shared, "[front.left.torsion_bar]\n"), (adjuster, "[front.left.torsion_bar.adjuster] ")) + right
    document = parse_car(text, "car")

    assert document.front.side(Side.RIGHT).torsion_bar.active_length.value == 0.76
    assert document.front.side(Side.RIGHT).torsion_bar.adjuster is None
    assert document.front.side(Side.LEFT).torsion_bar.adjuster is not None


def test_second_bar_takes_the_links_of_the_first(document: CarDocument) -> None:
    for side in Side:
        front = document.front.side(side)
        assert front.roll_bar_2.link_end == front.roll_bar.link_end
        assert front.roll_bar_2.link_on == "arm"


def test_outer_shaft_joint_is_taken_at_the_wheel_centre(document: CarDocument) -> None:
    for side in Side:
        pivots = document.front.side(side).pivots
        assert pivots.drive_shaft_outer == pivots.wheel_centre


def test_bush_axis_is_mirrored_and_of_length_one(changed: Changed) -> None:
    text = changed(('turning_side = "right"', 'turning_side = "right"\nbush_axis = [0.6, 1.6, 0] #'))
    rear = parse_car(text, "car").rear

    assert isinstance(rear, BeamPanhardAxle)
    length = math.hypot(0.6, 1.6)
    assert rear.bush_axis(Side.LEFT) == pytest.approx((0.6 / length, 1.6 / length, 0))
    assert rear.bush_axis(Side.RIGHT) == pytest.approx((0.6 / length, -1.6 / length, 0))


def test_layout_decides_the_class(document: CarDocument) -> None:
    assert isinstance(document.axle(End.FRONT), StrutTorsionBarAxle)
    assert isinstance(document.axle(End.REAR), BeamPanhardAxle)


def test_document_is_frozen(document: CarDocument) -> None:
    with pytest.raises(ValidationError):
        document.mass.front_left = document.mass.front_right


@pytest.mark.parametrize(
    ("toe", "angle"),
    [
        ('"1.5 mm ± 0.5 mm"', math.asin(1.5 / 365)),
        ('"-1/16 in"', math.asin(-25.4 / 16 / 365)),
        ("'1/16\"'", math.asin(25.4 / 16 / 365)),
        ('{ value = "1.5 mm", plus_minus = "0.5 mm" }', math.asin(1.5 / 365)),
        ("0.2", 0.2 * DEG),
        ('"0°12\'"', 0.2 * DEG),
        ('"-0.2 deg ± 0.1 deg"', -0.2 * DEG),
    ],
)
def test_toe_as_length_or_angle(changed: Changed, toe: str, angle: float) -> None:
    document = parse_car(changed(('toe = "0.5 mm ± 0.5 mm"', f"toe = {toe}")), "car")

    assert document.front.side(Side.LEFT).alignment.toe.value == pytest.approx(angle, rel=1e-12)


def test_no_key_of_the_program_itself_can_be_written(changed: Changed) -> None:
    text = changed(("[front.steering]", "[front._places]\nx = 1\n[front.places]\nx = 1\n[front.steering]"))

    assert set(problems_in(text)) == {"front._places", "front.places"}
