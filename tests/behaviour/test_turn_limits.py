"""Limits of the turn: which wheel lifts, where the car tips over or jacks up, and only stable rests are told."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.road.around import tangent
from jounce.behaviour.road.brake import most_drive
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.followed import PathEnd
from jounce.behaviour.road.lift import Manner, turns_followed
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.reading import read_car
from jounce.conventions.constants import GRAVITY


@cache
def car(name):
    return car_as_found(read_car(Path(str(files("jounce.demo").joinpath(f"{name}.toml")))))


@cache
def limits(name):
    standing = at_rest(car(name), steady())
    return turns_followed(car(name), np.array([1.0, -1.0]), standing.take(np.array([0, 0])), np.zeros(2)).limits


@pytest.mark.parametrize(
    ("name", "front", "farthest", "manner"),
    [
        ("bracken-16", 0.934, 0.9385, Manner.TIPS),
        ("mallow-18", 1.062, 1.062, Manner.TIPS),
        ("sorrel-21", None, 0.777, Manner.JACKS),
    ],
)
def test_a_car_that_ends_before_its_rear_wheel_lifts_says_how(name, front, farthest, manner):
    left, right = limits(name)

    assert (left.first, left.rear) == (None if front is None else "front", None)
    assert left.front is None if front is None else left.front / GRAVITY == pytest.approx(front, abs=1e-3)
    assert left.farthest / GRAVITY == pytest.approx(farthest, abs=1e-3)
    assert (left.end, left.manner, right.manner) == (PathEnd.NO_REST, manner, manner)


def test_a_car_whose_rear_wheel_lifts_first_tips_over_where_its_front_wheel_lifts():
    for one in limits("burnet-17"):
        assert one.first == "rear"
        assert one.farthest == pytest.approx(one.front, rel=1e-4)
        assert one.manner is Manner.TIPS
        assert one.front_tips
    assert not any(one.front_tips for name in ("bracken-16", "mallow-18", "sorrel-21") for one in limits(name))


@pytest.mark.parametrize(("across", "roll"), [(-0.765, 5.15), (-0.76, 4.77), (0.77, 4.94)])
def test_near_the_end_the_stable_rest_is_told_and_no_other(across, roll):
    rest = at_rest(car("sorrel-21"), steady(across * GRAVITY))
    slope = tangent(car("sorrel-21"), rest.freedoms, steady(across * GRAVITY))[1][0]

    assert rest.ends == (PathEnd.RESTS,)
    assert np.degrees(abs(rest.roll[0])) == pytest.approx(roll, abs=0.01)
    assert np.linalg.eigvals(-slope).real.min() > 0


def test_beyond_the_end_there_is_no_rest_and_none_is_told():
    rest = at_rest(car("sorrel-21"), steady(np.array([-0.775, -0.85, 0.79]) * GRAVITY))

    assert not rest.reached.any()
    assert set(rest.ends) == {PathEnd.NO_REST}


@pytest.mark.parametrize("name", ["bracken-16", "mallow-18", "sorrel-21", "burnet-17"])
def test_no_car_goes_further_than_one_without_suspension(name):
    """A rigid car tips at half its track over the height of its centre: suspension only takes from that (hand formula)."""
    one = car(name)
    standing = at_rest(one, steady())
    mass = one.body_masses()[0].sum()
    height = (mass * standing.body_height[0] + (one.unsprung * standing.acted.centre[0, ..., 2]).sum()) / one.mass
    foot = standing.acted.foot[0, ..., 1]
    track = (foot[:, 0] - foot[:, 1]).max()

    assert 0.6 * track / (2 * height) < limits(name)[0].farthest / GRAVITY < track / (2 * height)


def test_where_the_driven_wheel_spins_is_told_or_why_not():
    most = most_drive(car("sorrel-21"), np.array([0.0, 0.9 * GRAVITY]))

    assert most.ahead[0] > 0
    assert np.isnan(most.ahead[1])
    assert most.ends == (PathEnd.RESTS, PathEnd.NO_REST)
