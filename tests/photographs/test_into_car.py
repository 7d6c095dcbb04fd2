"""Pivots of both sides in the car's axes, beside the tape and in a new file."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import parse_car
from jounce.conventions.errors import Impossible, InputError
from jounce.photographs.answer import photographed
from jounce.photographs.car_axes import car_axes, in_car_axes
from jounce.photographs.into_car import beside_tape, with_photographed
from tests.photographs.whole_car import CAR, POINTS, TEXT, true_place, walked_round

RIGHT_FOOT = "right front.pivots.strut_foot"

pytestmark = pytest.mark.validation_slow  # twenty-four photographs


@pytest.fixture(scope="module")
def round_car():
    shots, survey = walked_round()
    found = photographed(tuple(shots), survey, lambda _: None)
    return found, survey, in_car_axes(found.net, survey, found.pivots)


def test_every_pivot_lies_where_the_car_has_it(round_car) -> None:
    """Left, forward and up come out with their signs; what was typed of offsets is exact here, pictures alone err."""
    _, _, pivots = round_car

    assert [one.point for one in pivots] == [f"front.pivots.{point}" for point in POINTS]
    for one, point in zip(pivots, POINTS, strict=True):
        off = one.place - true_place(point)
        assert np.abs(off).max() <= 0.5e-3
        assert np.all(np.abs(off) <= 3 * one.deviation)
        assert one.sides == 2
        assert not one.why_not


def test_left_and_right_differ_by_no_more_than_they_should(round_car) -> None:
    for one in round_car[2]:
        assert np.abs(one.apart).max() <= 1.0e-3


def test_what_the_axes_lack_is_told_all_at_once(round_car) -> None:
    found, survey, _ = round_car
    left = [one for one in found.pivots if one.pivot.side == "left" and "wheel_centre" not in one.pivot.point]
    with pytest.raises(Impossible) as told:
        in_car_axes(replace(found.net, metric=False), replace(survey, floor=survey.floor[:2]), left)

    for what in ("a known length", "2 were placed", "on the left and on the right", "a tile on a front hub"):
        assert what in str(told.value)


def renamed(found, names):
    """The pivots with other names: by side and point what it is called instead."""
    told = []
    for one in found:
        side, point = names.get((one.pivot.side, one.pivot.point.rpartition(".")[2]), (one.pivot.side, ""))
        point = f"front.pivots.{point}" if point else one.pivot.point
        told.append(replace(one, pivot=replace(one.pivot, side=side, point=point)))
    return told


def why(round_car, names):
    """What is said against each point once it is beside the car file."""
    found, survey, _ = round_car
    beside = beside_tape(CAR, in_car_axes(found.net, survey, renamed(found.pivots, names)))
    return {one.pivot.point.rpartition(".")[2]: one.pivot.why_not for one in beside}


def test_left_and_right_of_one_point_changed_over_are_named(round_car) -> None:
    both = {("left", "strut_foot"): ("right", ""), ("right", "strut_foot"): ("left", "")}
    told = why(round_car, both)

    assert [point for point, one in told.items() if one] == ["strut_foot"]
    assert "changed over" in told["strut_foot"]


def test_two_points_of_one_side_changed_over_spoil_the_centre_plane_and_are_named(round_car) -> None:
    both = {("left", "ball_joint"): ("left", "tie_rod_outer"), ("left", "tie_rod_outer"): ("left", "ball_joint")}
    told = why(round_car, both)

    assert all("which no body does" in told[point] for point in ("ball_joint", "tie_rod_outer"))
    assert "the centre plane rests on" in told["strut_foot"]


def pushed(round_car, *names, by=(0.0, 0.02, 0.0)):
    """The points, some pivots 20 mm beside where they are in the car's axes, as by a wrong offset."""
    found, survey, _ = round_car
    away = np.array(by) @ car_axes(found.net, survey, found.pivots).turned
    moved = [replace(one, place=one.place + away) if one.pivot.name in names else one for one in found.pivots]
    return {one.point.rpartition(".")[2]: one for one in in_car_axes(found.net, survey, moved)}


def test_one_wrong_pair_holds_back_its_own_point_alone(round_car) -> None:
    """The other three bear each other out: the plane is theirs, and their points lie as true as without the wrong one."""
    told = pushed(round_car, RIGHT_FOOT)

    assert [point for point, one in told.items() if one.why_not] == ["strut_foot"]
    assert "20 mm" in told["strut_foot"].why_not
    assert "the centre plane was laid without it" in told["strut_foot"].why_not
    for point in set(told) - {"strut_foot"}:
        off = told[point].place - true_place(point)
        assert np.abs(off).max() <= 0.5e-3
        assert np.all(np.abs(off) <= 3 * told[point].deviation)


def test_where_as_many_pairs_are_wrong_as_right_all_are_held_back(round_car) -> None:
    told = pushed(round_car, RIGHT_FOOT, "right front.pivots.ball_joint")

    assert all(one.why_not for one in told.values())


def test_front_wheels_that_do_not_fit_hold_back_all_that_begins_at_them(round_car) -> None:
    told = pushed(round_car, "right front.pivots.wheel_centre", by=(0.02, 0.0, 0.0))

    assert "20 mm" in told["wheel_centre"].why_not
    assert all("x begins at front.pivots.wheel_centre" in told[point].why_not for point in set(told) - {"wheel_centre"})


def test_two_points_of_both_sides_changed_over_are_named_by_the_car_file(round_car) -> None:
    other = {"ball_joint": "tie_rod_outer", "tie_rod_outer": "ball_joint"}
    told = why(round_car, {(side, a): (side, b) for side in ("left", "right") for a, b in other.items()})

    assert {point for point, one in told.items() if "named right" in one} == set(other)
    assert not told["strut_foot"]


def test_sides_changed_over_everywhere_are_named_by_the_car_file(round_car) -> None:
    other = {"left": "right", "right": "left"}
    told = why(round_car, {(side, point): (other[side], "") for side in other for point in POINTS})

    assert all("x runs the other way" in one for one in told.values())


def test_half_of_what_the_sides_differ_by_is_in_the_band(round_car) -> None:
    """The car file has one place for both sides; a right wheel 6 mm farther out leaves each 3 mm beside it."""
    found, survey, _ = round_car
    axes = car_axes(found.net, survey, found.pivots)
    out = [
        replace(one, place=one.place + np.array([0, -0.006, 0]) @ axes.turned) if one.pivot.name == RIGHT_FOOT else one
        for one in found.pivots
    ]
    foot = next(one for one in in_car_axes(found.net, survey, out) if one.point in RIGHT_FOOT)

    assert abs(foot.apart[1]) == pytest.approx(6e-3, abs=1.6e-3)  # a quarter of it moves the centre plane of four pairs
    assert foot.plus_minus >= abs(foot.apart[1]) / 2


def test_a_new_file_has_the_pivots_and_keeps_what_the_tape_said(round_car) -> None:
    _, _, pivots = round_car
    doubted = [*pivots[:3], replace(pivots[3], why_not="seen in 2 photographs only")]
    new = with_photographed(TEXT, beside_tape(CAR, doubted), 24, "2026-03-14")
    before, after = ({one.path: one for one in all_inputs(car)} for car in (CAR, parse_car(new, "new")))
    changed = {path.rpartition(".")[0] for path, one in after.items() if one != before[path]}

    assert changed == {f"front.pivots.{point}" for point in POINTS[:3]}
    joint = after["front.pivots.ball_joint.y"]
    assert joint.origin.startswith(
        "photographs, 2026-03-14, 24 of them; before [5, 648, 190] ± 1.5 mm: tape and plumb line"
    )
    assert joint.plus_minus == pytest.approx(pivots[1].plus_minus, rel=0.05)
    assert joint.value == pytest.approx(0.648, abs=0.5e-3)
    assert new.startswith(TEXT[:200])


def test_the_difference_is_told_in_units_of_both_bands(round_car) -> None:
    pivot = round_car[2][1]
    away = replace(pivot, place=true_place("ball_joint") + np.array([0.004, 0, 0]), deviation=np.full(3, 1.0e-3))

    assert beside_tape(CAR, [away])[0].in_bands == pytest.approx(4 / np.hypot(1.5, 2.0))


def test_a_point_that_the_car_has_not_is_told_with_the_nearest(round_car) -> None:
    wrong = replace(round_car[2][0], point="front.pivots.bal_joint")
    with pytest.raises(InputError, match=r"no such point.*front\.pivots\.ball_joint"):
        beside_tape(CAR, [wrong])


def test_nothing_is_taken_over_where_nothing_may_be_trusted(round_car) -> None:
    doubted = [replace(one, why_not="not sharp") for one in round_car[2]]
    with pytest.raises(Impossible, match="No pivot is known well enough"):
        with_photographed(TEXT, beside_tape(CAR, doubted), 24, "")
