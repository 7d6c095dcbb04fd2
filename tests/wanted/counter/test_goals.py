"""Plain wishes as goals: each word moves its window one way, no wish contradicts itself, windows hold on real cars."""

from __future__ import annotations

from functools import cache
from itertools import pairwise, product

import numpy as np
import pytest

from jounce.car.file.reading import parse_car
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind
from jounce.job.file import parse_job
from jounce.search.goals import METRICS
from jounce.search.written_goals import goals_of
from jounce.wanted.counter.goals import goals_for, wheel_rate_window
from jounce.wanted.counter.job import wish_text
from jounce.wanted.counter.today import nothing_done, today_of
from jounce.wanted.counter.wish import CORNERS, FEELS, USES, CounterWish
from jounce.wanted.main_springs import stiffer_springs
from jounce.wanted.stood import stand
from tests.wanted.demo_work import CARS, text_of, work_of

QUICK = ("brisk-14", "bracken-16", "sorrel-21")
EVERY_CAR = [pytest.param(car, marks=[] if car in QUICK else [pytest.mark.validation_slow], id=car) for car in CARS]
EVERY_WISH = [CounterWish(0.03, *words) for words in product(FEELS, CORNERS, USES, (False, True))]


@cache
def today(car):
    return today_of(nothing_done(parse_car(text_of(car), car)))


def windows(car, **wish):
    return {goal.metric: (goal.low, goal.high) for goal in goals_for(CounterWish(**wish), today(car))}


@pytest.mark.parametrize("car", EVERY_CAR)
def test_every_wish_is_told_and_contradicts_nothing(car):
    for wish in EVERY_WISH:
        goals = goals_for(wish, today(car))
        told = {goal.metric: goal for goal in goals}
        assert {"front_frequency", "rear_frequency", "front_bump", "rear_bump"} <= set(told), (car, wish)
        assert len(told) == len(goals)
        assert all(np.isfinite([goal.low, goal.high]).all() and 0 < goal.low < goal.high for goal in goals), (car, wish)
        job = parse_job(wish_text(wish, goals), "job")  # the file takes every window: it is within what a job may ask
        read = {goal.metric: goal for goal in goals_of(job)}
        assert set(read) == set(told), (car, wish)
        for name, goal in told.items():
            assert read[name].low == pytest.approx(goal.low, rel=1e-3), (car, name)
            assert read[name].high == pytest.approx(goal.high, rel=1e-3), (car, name)


@pytest.mark.parametrize("car", EVERY_CAR)
def test_firmer_asks_for_more_than_as_it_is_and_softer_for_less(car):
    for axle in ("front", "rear"):
        for below, above in pairwise([windows(car, feel=feel)[f"{axle}_frequency"] for feel in FEELS]):
            assert below[0] < above[0]
            assert below[1] == pytest.approx(above[0], rel=1e-12)  # no gap, no overlap between two words
        low, high = windows(car, feel="same")[f"{axle}_frequency"]
        assert low < today(car).numbers[f"{axle}_frequency"] < high


@pytest.mark.parametrize("car", EVERY_CAR)
def test_each_step_to_corners_asks_for_less_lean_and_keeps_what_the_springs_do(car):
    for feel in FEELS:
        leans = [windows(car, feel=feel, corner=corner).get("roll_gradient") for corner in CORNERS]
        if None in leans:
            assert not today(car).numbers["roll_gradient"] > 0
            continue
        for more, less in pairwise(leans):
            assert less[0] < more[0]
            assert less[1] < more[1]
        low, high = leans[0]
        found = today(car).numbers["roll_gradient"]
        least, most = wheel_rate_window(CounterWish(feel=feel), "front")
        assert (
            low < found / most
        )  # springs alone, the body held by nothing else: comfort contradicts no word of the springs
        assert high >= found / least


@pytest.mark.parametrize("car", EVERY_CAR)
def test_a_laden_car_is_asked_for_more_travel_and_a_firmer_rear(car):
    for use in USES:
        empty, laden = windows(car, use=use), windows(car, use=use, laden=True)
        for axle, which in product(("front", "rear"), ("bump", "free")):
            assert laden[f"{axle}_{which}"][0] > empty[f"{axle}_{which}"][0]
        assert laden["rear_frequency"][0] > empty["rear_frequency"][0]
        assert laden["front_frequency"] == empty["front_frequency"]
    floors = [windows(car, use=use)["rear_bump"][0] for use in USES]
    assert floors == sorted(floors, reverse=True)


@pytest.mark.parametrize("axle", ["front", "rear"])
@pytest.mark.parametrize("car", QUICK)
def test_a_car_whose_springs_are_as_much_stiffer_rides_at_the_ends_of_the_window(car, axle):
    """Second method: the whole car put to rest with the stiffer springs in, its wheel rate read there."""
    work, wish = work_of(car), CounterWish(feel="firmer")
    low, high = windows(car, feel="firmer")[f"{axle}_frequency"]
    before = stand(work.car)
    part = stiffer_springs(work, axle, before)
    most = 1.2 if part.kind is Kind.LENGTH else 1.9  # a bar's rate goes with the fourth power of its diameter
    was = np.mean([wheel.wheel_rate for wheel in before.axles[axle].wheels.values()])
    ends = []
    for size in np.linspace(part.today, part.today * most, 12):
        stood = stand(part.fitted(float(size)))
        wheels = stood.axles[axle].wheels.values()
        ends.append((np.mean([w.wheel_rate for w in wheels]) / was, np.mean([w.ride_frequency for w in wheels])))
    rates, rides = np.array(ends).T
    for factor, asked in zip(wheel_rate_window(wish, axle), (low, high), strict=True):
        assert np.interp(factor, rates, rides) == pytest.approx(asked, rel=2e-3)


def test_what_is_no_wish_is_refused():
    for wrong in ({"feel": "hard"}, {"corner": "5"}, {"use": "race"}, {"lower": 0.2}, {"budget": float("nan")}):
        with pytest.raises(InputError):
            CounterWish(**wrong)


def test_a_number_that_is_not_known_today_is_no_goal():
    numbers = dict.fromkeys(METRICS, float("nan"))
    unknown = type(today("brisk-14"))(numbers, today("brisk-14").rates, today("brisk-14").tyres)
    assert {goal.metric for goal in goals_for(CounterWish(), unknown)} == {
        f"{axle}_{which}" for axle in ("front", "rear") for which in ("bump", "free")
    }
