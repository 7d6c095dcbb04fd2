"""Teeth for a height: nearest among all pairs counted out, and the car with them put to rest by a second method."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest

from jounce.car.file.reading import parse_car
from jounce.car.file.rewriting import rewritten
from jounce.elements.law import Shifted
from jounce.layouts.naming import SIDES
from jounce.linkage.balance import Element
from jounce.wanted.bar_teeth import teeth_for
from jounce.wanted.main_springs import raised_springs
from jounce.wanted.work_car import WorkCar
from tests.reference.whole_car import car_on_tyres, settle
from tests.wanted.demo_work import found, text_of, today, work_of

CARS = ["brisk-14", "fescue-10", "yarrow-12"]


def lower(car):
    before = today(car).lower("front")
    return lambda stood: stood.lower("front") - before


@pytest.mark.sweep
@pytest.mark.parametrize("down", [-0.02, 0.013, 0.03])
@pytest.mark.parametrize("car", CARS)
def test_no_pair_of_teeth_comes_nearer(car, down):
    """Every pair of up to 25 teeth at either end, and every quarter turn of the bolt, counted out."""
    answer = found(raised_springs(work_of(car), "front"), lower(car), down)
    bar = work_of(car).section("front").left.torsion_bar
    one = teeth_for(work_of(car), "front", answer.value)["left"]
    turns = np.array([a / bar.splines_arm + b / bar.splines_anchor for a, b in product(range(-25, 26), repeat=2)])
    bolts = [0.0]
    if bar.adjuster is not None:
        step = math.atan2(bar.adjuster.pitch.value, bar.adjuster.lever.value)
        low, high = round(-4 * bar.adjuster.turns_down.value), round(4 * bar.adjuster.turns_up.value)
        bolts = [step * quarter / 4 for quarter in range(low, high + 1)]
    miss = min(float(np.abs(math.tau * turns + bolt - answer.value).min()) for bolt in bolts)

    given = math.tau * (one.arm_teeth / bar.splines_arm + one.anchor_teeth / bar.splines_anchor)
    if bar.adjuster is not None:
        given += step * one.bolt_turns
    assert one.reached == pytest.approx(given, abs=1e-12)
    # Of pairs within 0.05° of the nearest, or half a step of the bolt, the one with the fewest teeth is taken.
    allowed = math.radians(0.05) if bar.adjuster is None else step / 8
    assert abs(one.reached - answer.value) <= miss + allowed + 1e-9


@pytest.mark.parametrize("car", CARS)
def test_what_is_left_of_the_height_is_what_a_second_method_finds(car):
    """All bodies as one mechanism, put to rest by multipliers with the bars wound by what the teeth give."""
    work = work_of(car)
    part = raised_springs(work, "front")
    answer = found(part, lower(car), 0.017)
    figures = {figure.name: figure.value for figure in part.also(answer.value, answer.stood)}
    models = tuple(on_body.axle for on_body in work.car.axles)
    whole = car_on_tyres(*models, work.document.mass.centre_of_gravity_height.value)
    elements = {**models[0].elements, **models[1].elements}
    teeth = teeth_for(work, "front", answer.value)
    heights = []
    for turn in (dict.fromkeys(SIDES, answer.value), {side: teeth[side].reached for side in SIDES}):
        wound = dict(elements)
        for side in SIDES:
            bar = elements[f"front.{side}.main_spring"]
            wound[f"front.{side}.main_spring"] = Element(bar.measure, Shifted(bar.law, turn[side]), bar.sense, bar.zero)
        sits = settle(whole, wound, {}, answer.stood.sits.travel)
        heights.append(np.mean([sits.travel["front", side] for side in SIDES]))

    assert figures["with those teeth too low by"] == pytest.approx(heights[1] - heights[0], abs=1e-8)
    for side in SIDES:
        assert figures[f"turn that they leave, {side}"] == pytest.approx(answer.value - teeth[side].reached, abs=1e-15)


def test_a_bolt_has_what_is_left_of_it():
    """Two turns up of three are gone: one is left, and two more down."""
    bolt = {"pitch": 1.5, "lever": 90, "turns_down": 1, "turns_up": 3}
    text = rewritten(text_of("brisk-14"), {f"front.torsion_bar.adjuster.{key}": value for key, value in bolt.items()})
    work = work_of("brisk-14")
    told = WorkCar(parse_car(text, "car"), work.car, bolts={("front", side): 2.0 for side in SIDES})
    step = math.atan2(1.5, 90)

    assert teeth_for(told, "front", 0.9 * step)["left"].bolt_turns == 1.0
    assert teeth_for(told, "front", -2.6 * step)["left"].bolt_turns >= -3.0
    fresh = WorkCar(told.document, work.car)
    assert teeth_for(fresh, "front", 2.4 * step)["left"].bolt_turns == pytest.approx(2.5, abs=0.25)


def test_bars_without_counted_splines_have_no_teeth():
    keys = {f"front.torsion_bar.{key}": None for key in ("splines_arm", "splines_anchor")}
    work = work_of("brisk-14")
    told = WorkCar(parse_car(rewritten(text_of("brisk-14"), keys), "car"), work.car)
    part = raised_springs(told, "front")

    assert teeth_for(told, "front", 0.02) == {}
    assert part.also(0.02, today("brisk-14")) == []
    assert "Which teeth make that turn" in part.says(0.02, "metric")[0]
    assert "Which way those teeth turn" in raised_springs(work, "front").says(0.02, "metric")[0]
