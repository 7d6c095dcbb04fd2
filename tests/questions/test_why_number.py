"""Why a number of a job is what it is: against jobs with one part or one height changed, planned anew."""

from __future__ import annotations

from functools import cache

import pytest

from jounce.car.file.reading import parse_car
from jounce.car.file.walk import path_words
from jounce.case.case import Case
from jounce.conventions.units import MM
from jounce.job.file import parse_job
from jounce.questions.why_number import what_moves, what_would_make_surer
from jounce.wanted.counter.numbers import plain_numbers
from tests.wanted.demo_work import text_of

JOB = text_of("brisk-14-lower")


@cache
def case(old="", new=""):
    assert old in JOB
    job = JOB.replace(old, new) if old else JOB
    return Case(parse_car(text_of("brisk-14"), "car"), parse_job(job, "job"))


def number(key, of):
    return next(one for one in plain_numbers(of, sure=True) if one.key == key)


def place(key, of, where):
    return next(one for one in number(key, of).places if one.where == where)


@pytest.mark.parametrize("key", ["firmer", "swings"])
def test_a_spring_of_one_percent_more_rate_does_what_is_told(key):
    """Second method: the job with that spring, planned anew."""
    movers, _ = what_moves(case(), number(key, case()))
    told = next(one for one in movers if one.what == "new rear spring rate")
    stiffer = case("rate = { value = 25,", "rate = { value = 25.25,")
    made = place(key, stiffer, "behind").planned - place(key, case(), "behind").planned

    assert told.step == "1 % more"
    assert told.change == pytest.approx(made, rel=0.03)


def test_a_turn_of_the_perch_is_told_as_a_whole_car_that_stands_on_it():
    """By hand: 2 mm of thread over the motion ratio, the other three wheels taking part of it: more than half is left."""
    movers, _ = what_moves(case(), number("lower", case()))
    turn = next(one for one in movers if "turn of the perch" in one.step)
    ratio = abs(case().plan.planned.axles["rear"].wheels["left"].motion_ratio)

    assert -2 * MM / ratio < turn.change < -1 * MM / ratio


def test_height_travel_and_clearance_move_by_the_same_but_for_the_sign():
    moved = {key: {m.what + m.step: m.change for m in what_moves(case(), number(key, case()))[0]} for key in HEIGHTS}

    for key, way in HEIGHTS.items():
        assert moved[key] == {what: way * change for what, change in moved["lower"].items()}


HEIGHTS = {"lower": 1, "bump": -1, "ground": -1}


def test_bands_are_those_of_the_wider_wheel_and_their_causes_are_told_the_strongest_first():
    for key, row in (("swings", "ride_frequency"), ("lower", "height")):
        for axle, where in (("front", "in front"), ("rear", "behind")):
            both = [case().row(f"{axle}.{side}.{row}").planned_band for side in ("left", "right")]
            assert place(key, case(), where).band == max(both)
    for key in ("lower", "firmer", "swings", "lean", "bump", "ground"):
        causes = what_would_make_surer(case(), number(key, case()))
        alone = [one.alone for one in causes]
        assert causes
        assert alone == sorted(alone, reverse=True)
        assert len({one.path for one in causes}) == len(causes)


def test_a_spring_known_better_makes_the_number_surer():
    """The ± of the rate halved: the band of the wheel rate falls, and the spring is no longer its first cause."""
    surer = case("plus_minus = 0.6,", "plus_minus = 0.1,")
    first = what_would_make_surer(case(), number("firmer", case()))[0]

    assert first.what == "new rear spring rate"
    assert place("firmer", surer, "behind").band < 0.8 * place("firmer", case(), "behind").band
    assert what_would_make_surer(surer, number("firmer", surer))[0].what != first.what


def test_places_of_files_are_told_in_words():
    assert path_words("heights.front_left") == "wheel to arch, front left"
    assert path_words("front.pivots.ball_joint.y") == "front ball joint, across"
    for key in ("lower", "firmer", "lean"):
        for one in what_moves(case(), number(key, case()))[0]:
            assert "_" not in one.what + one.step
