"""Which way a bar is turned, and where its arm hangs: by turning the measured points in space, not by the program."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from jounce.behaviour.axle.static import loaded
from jounce.car.file.inputs import measured_inputs, with_value
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.job.hanging_band import hanging_bands
from jounce.job.index.hanging import hanging_point
from jounce.job.index.plan import bar_indices
from jounce.job.index.task import task_of_car
from jounce.job.index.words import index_sentences, which_way
from jounce.job.settings import PerchSetting
from jounce.job.which_way import winding_way
from jounce.job.wording import settings_of
from jounce.layouts.naming import SIDES
from tests.job.test_index_plan import demo_car_file, demo_task
from tests.job.test_plan import demo


def arm_of(side):
    """Pivots and ball joint of the demo car's arm, as measured [m]."""
    pivots = demo()[1].front.side(SIDE_OF[side]).pivots
    return tuple(np.array(getattr(pivots, name).xyz) for name in ("arm_front", "arm_rear", "ball_joint"))


@pytest.mark.parametrize("side", SIDES)
def test_the_sense_that_winds_up_is_the_one_in_which_the_arm_goes_down_for_an_eye_in_front(side):
    """For an eye in front of the car that looks to the rear, the car's left is on the right hand and up is up."""
    front, rear, ball = arm_of(side)
    way = winding_way(demo()[3].planned.models[0].linkage, side)
    clock = -1.0 if way.clockwise else 1.0  # a clockwise turn is negative about the line that points at the eye
    to_eye = (front - rear) / np.linalg.norm(front - rear)
    moved = Rotation.from_rotvec(0.05 * clock * to_eye).apply(ball - front) - (ball - front)

    assert way.seen == "from the front of the car"
    assert moved[2] < 0
    assert way.clockwise is (side == "left")
    assert way.outward == (1 if side == "left" else -1)


def test_a_bar_across_the_car_is_seen_from_its_left():
    """A trailing arm reaches back from its bar: for an eye on the left the rear of the car is on the right hand."""
    model = axle_model(demo_car_file("tansy-11"), "rear")
    for side in SIDES:
        way = winding_way(model.linkage, side)
        assert way.seen == "from the left of the car"
        assert way.clockwise  # its end, on the right hand of that eye, goes down
        assert way.outward == 1


@pytest.mark.parametrize("side", SIDES)
def test_the_hanging_height_is_the_drop_of_the_ball_joint_under_the_pivot_line(side):
    _, _, _, plan = demo()
    front, rear, ball = arm_of(side)
    axis = (front - rear) / np.linalg.norm(front - rear)
    point = hanging_point(plan.planned.models[0].linkage, side)
    free = plan.settings["front"].bars[side].free_arm_angle
    up = 1 if side == "left" else -1  # about the line forward, left goes up with a positive turn
    hung = front + Rotation.from_rotvec(up * free * axis).apply(ball - front)
    straight_in = front + axis * ((hung - front) @ axis)

    over = float(point.over_pivots(free)[0])
    assert over == pytest.approx((hung - straight_in)[2], abs=1e-12)
    line = next(one for one in settings_of(plan, "metric") if one.startswith(f"{side} front torsion bar"))
    assert (
        f"middle of the ball joint {abs(over) * 1e3:.1f} mm below the line through the arm's two inner pivots" in line
    )


def test_teeth_are_told_by_the_end_that_turns_the_way_and_the_place_of_the_eye():
    lines = [line for line in settings_of(demo()[3], "metric") if "torsion bar" in line]
    for side, line in zip(SIDES, lines, strict=True):
        index, word = (
            demo()[3].settings["front"].bars[side].index,
            {"left": "anticlockwise", "right": "clockwise"}[side],
        )
        assert (index.arm_teeth, index.anchor_teeth) == (0, -2)
        assert f"2 teeth further round in its anchor {word} seen from the front of the car (lets down" in line
        assert "the arm end on its old mark" in line


def _set(plan, axle, **settings):
    return replace(plan, settings={**plan.settings, axle: replace(plan.settings[axle], **settings)})


def test_both_ends_and_an_unsplined_bar_are_told_too():
    plan = demo()[3]
    bar = plan.settings["front"].bars["left"]
    both = replace(bar, index=replace(bar.index, arm_teeth=1, anchor_teeth=-1))
    marked = replace(bar, index=replace(bar.index, splined=False))
    same = replace(bar, index=replace(bar.index, arm_teeth=0, anchor_teeth=0))
    told = [settings_of(_set(plan, "front", bars={"left": one}), "metric")[0] for one in (both, marked, same)]

    assert "the arm 1 tooth further down on its bar clockwise" in told[0]
    assert "and the bar with its arm 1 tooth further round in its anchor anticlockwise" in told[0]
    assert f"mark out {abs(math.degrees(bar.index.wanted)):.2f}° anticlockwise" in told[1]
    assert "both ends on their old marks" in told[2]


def test_turns_are_told_in_quarters_and_a_fixed_seat_is_no_setting():
    plan = demo()[3]
    for turns, words in (
        (0.25, "¼ turn up"),
        (1.0, "1 turn up"),
        (3.5, "3½ turns up"),
        (0.0, "on its thread; the seat"),
    ):
        seat = PerchSetting(0.0, 0.0, turns, adjustable=True)
        assert any(words in line for line in settings_of(_set(plan, "rear", seats={"left": seat}), "metric"))
    fixed = PerchSetting(0.001, 0.0, None, adjustable=False)
    assert not any("seat" in line for line in settings_of(_set(plan, "rear", seats={"left": fixed}), "metric"))


def test_the_band_of_the_hanging_height_is_that_of_a_thousand_cars():
    """Every stated ± drawn as two standard deviations: 1.645 of the spread are the band."""
    car, plan = demo()[1], demo()[3]
    reached = {side: plan.settings["front"].bars[side].index.reached for side in SIDES}
    bands = hanging_bands(car, "front", reached)
    draw, count = np.random.default_rng(20260314), 1000
    varied = car
    for ref in measured_inputs(car):
        varied = with_value(varied, ref, ref.value + ref.plus_minus / 2 * draw.standard_normal(count))
    model = axle_model(varied, "front")
    wound = loaded(model)[1]
    for side in SIDES:
        height = hanging_point(model.linkage, side).over_pivots(-(np.ravel(wound[side].displacement) + reached[side]))
        assert bands[side] == pytest.approx(1.645 * float(np.std(height)), rel=0.1)


def test_an_unchanged_bar_is_told_to_be_the_old_one_whatever_the_height():
    car = demo_car_file("brisk-14")
    heights = {"left": 0.345 - 0.340, "right": 0.347 - 0.340}
    for one in bar_indices(task_of_car(car, "front", heights)).values():
        told = " ".join(index_sentences(one, "metric"))

        assert one.same_bar
        assert one.turn_same_height == pytest.approx(0.0, abs=1e-9)
        assert "It is the old bar: teeth are counted from its marks." in told
        assert "do not serve" not in told
        assert not one.pressed
    for one in bar_indices(demo_task()).values():
        assert not one.same_bar


def test_a_height_at_which_the_car_sits_on_its_rubbers_is_never_told_without_a_word():
    """The rubber touches after 25 mm of the rod; the strut's rod goes nearly with the wheel."""
    car = demo_car_file("brisk-14")
    for one in bar_indices(task_of_car(car, "front", dict.fromkeys(SIDES, 0.045))).values():
        assert one.pressed == pytest.approx(0.019, abs=0.001)
        assert any("into its bump rubber" in told for told in index_sentences(one, "metric"))
        assert which_way(one).startswith("+ is ")
