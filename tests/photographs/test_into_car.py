"""Pivots of both sides in the car's axes, beside the tape and in a new file."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.car.file.inputs import all_inputs
from jounce.car.file.reading import parse_car
from jounce.conventions.errors import Impossible, InputError
from jounce.photographs.answer import photographed
from jounce.photographs.car_axes import in_car_axes
from jounce.photographs.into_car import beside_tape, with_photographed
from tests.photographs.whole_car import CAR, POINTS, TEXT, true_place, walked_round

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
