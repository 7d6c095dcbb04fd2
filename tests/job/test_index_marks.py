"""Teeth and bolts: every turn that they can give, each by the fewest teeth."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest

from jounce.job.index.marks import NO_BOLT, Bolt, finest_step, index_setting, most_teeth, teeth_pairs


def turn(arm: int, anchor: int, splines: tuple[int, int]) -> float:
    return math.tau * (arm / splines[0] + anchor / splines[1])


@pytest.mark.parametrize("splines", [(40, 44), (30, 31), (36, 36), (28, 30)])
def test_pairs_are_all_the_turns_there_are(splines: tuple[int, int]):
    low, high = -0.2, 0.15
    most = most_teeth(*splines)
    teeth = range(-most, most + 1)
    every = {round(turn(a, b, splines), 9) for a in teeth for b in teeth if low <= turn(a, b, splines) <= high}
    pairs = teeth_pairs(*splines, low, high)

    assert [round(pair.turn, 9) for pair in pairs] == sorted(every)
    for pair in pairs:
        fewest = min(abs(a) + abs(b) for a in teeth for b in teeth if abs(turn(a, b, splines) - pair.turn) < 1e-9)
        assert abs(pair.arm) + abs(pair.anchor) == fewest
        assert turn(pair.arm, pair.anchor, splines) == pytest.approx(pair.turn)


def test_neighbours_of_a_forty_and_forty_four_pair_are_the_finest_step_apart():
    turns = [pair.turn for pair in teeth_pairs(40, 44, -0.2, 0.2)]
    steps = [high - low for low, high in pairwise(turns)]

    assert steps == pytest.approx([finest_step(40, 44)] * len(steps))


@pytest.mark.parametrize("splines", [(40, 44), (36, 37), (30, 31), (36, 40), (41, 43), (24, 36), (36, 36)])
def test_two_tooth_counts_reach_every_multiple_of_their_vernier_and_nothing_else(splines: tuple[int, int]):
    """Bézout: multiples of 1/n1 and 1/n2 together are the multiples of 1/lcm (Bézout; any textbook of number theory)."""
    least = math.lcm(*splines)
    reached = {Fraction(a, splines[0]) + Fraction(b, splines[1]) for a in range(splines[0]) for b in range(splines[1])}
    assert {one % 1 for one in reached} == {Fraction(k, least) for k in range(least)}

    steps = range(-least // 36, least // 36 + 1)  # ten degrees either way
    pairs = teeth_pairs(*splines, steps[0] * math.tau / least, steps[-1] * math.tau / least)
    exact = [Fraction(pair.arm, splines[0]) + Fraction(pair.anchor, splines[1]) for pair in pairs]
    assert exact == [Fraction(k, least) for k in steps]


@pytest.mark.parametrize("splines", [(36, 37), (30, 31), (40, 44), (36, 40)])
def test_any_turn_is_reached_within_half_a_step_or_spared_teeth_for(splines: tuple[int, int]):
    half = finest_step(*splines) / 2
    for wanted in np.linspace(-0.17, 0.17, 41):
        setting = index_setting(float(wanted), *splines)
        assert abs(setting.reached - wanted) <= half + math.radians(0.05) + 1e-9


def test_like_splines_give_no_finer_step_than_a_tooth():
    assert finest_step(36, 36) == pytest.approx(math.tau / 36)


@pytest.mark.parametrize(("wanted", "turns"), [(0.05, 2.75), (0.5, 6.0), (-0.5, -4.25), (0.0, 0.0)])
def test_a_bolt_is_set_to_quarter_turns_within_what_is_left(wanted: float, turns: float):
    assert float(Bolt(0.018, down=-4.4, up=6.1).nearest_of(np.asarray(wanted))) == turns


def test_a_bolt_makes_up_what_teeth_leave_and_spares_teeth():
    bolt = Bolt(0.0176, -8.0, 8.0)
    setting = index_setting(-0.0603, 36, 37, bolt)

    assert (setting.arm_teeth, setting.anchor_teeth) == (0, 0)
    assert setting.bolt_turns == -3.5
    assert abs(setting.reached - setting.wanted) <= bolt.step / 8


def test_beyond_the_bolt_teeth_are_moved():
    setting = index_setting(-0.4, 36, 37, Bolt(0.0176, -8.0, 8.0))

    assert (setting.arm_teeth, setting.anchor_teeth) != (0, 0)
    assert setting.reached == pytest.approx(-0.4, abs=0.0176 / 8)


def test_without_spline_counts_the_turn_itself_is_marked_out():
    setting = index_setting(0.123, None, 40)

    assert not setting.splined
    assert setting.reached == 0.123
    assert float(NO_BOLT.nearest_of(np.asarray(0.3))) == 0.0


def test_in_house_orientation_numbers_of_one_tooth_and_of_a_pair():
    """[CALC] in-house orientation numbers: one tooth at a 300 mm lever, 40 splines 47 mm; a 40/44 pair 0.82° = 4.3 mm."""
    assert round(math.tau / 40 * 300) == 47
    assert round(math.degrees(finest_step(40, 44)), 2) == 0.82
    assert round(finest_step(40, 44) * 300, 1) == 4.3
