"""Drop links that free the anti-roll bars: by another way of finding their length, and on the whole car let down."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from jounce.behaviour.axle.anti_roll_bars import anti_roll_bars_at_rest
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import settle
from jounce.car.file.reading import read_car
from jounce.case.case import Case
from jounce.conventions.axes import CORNERS, ENDS, SIDES, Side
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import MM
from jounce.job.document import JobDocument
from jounce.job.drop_links import LinkWish
from jounce.job.setting_bands import settings_needed
from jounce.job.wording import settings_of
from tests.reference.whole_car import car_on_tyres
from tests.reference.whole_car import settle as settled_by_multipliers

DEMO = Path(str(files("jounce.demo")))
CARS = [
    ("campion-22", "front"),
    ("campion-22", "rear"),
    ("burnet-17", "rear"),
    ("bracken-16", "front"),
    ("comfrey-20", "front"),
]
"""Bars on lower arms and struts, on a beam, on wishbones."""


@cache
def freed(car: str, end: str, side: str = "left", link: tuple[tuple[str, float], ...] = ()) -> Case:
    """A car that leans: its right stands lower, so its bars are wound as long as both links are alike."""
    found = read_car(DEMO / f"{car}.toml").heights
    axle = next(one for one in ENDS if one == end)
    heights = {f"{s}_height": found.corner(axle, s).value / MM - (9 if s is Side.RIGHT else 0) for s in SIDES}
    wanted = {end: heights | {"free_bars": side}}
    change = {end: {"perch": {"lowest": -40, "highest": 40, "pitch": 2}} | ({"drop_link": dict(link)} if link else {})}
    written = {"job": {"name": "x", "car": "x"}, "wanted": wanted, "change": change}
    return Case(read_car(DEMO / f"{car}.toml"), JobDocument.model_validate(written))


def bar_of(one: Case, end: str):
    planned = one.plan.planned
    k = ENDS.index(end)
    (bar,) = anti_roll_bars_at_rest(one.planned.document.axle(ENDS[k]), planned.models[k], planned.states[end])
    return bar


@pytest.mark.parametrize(("car", "end"), CARS)
def test_the_bar_carries_nothing_where_the_planned_car_stands(car, end):
    """The bar's own table of its ends: its link is as long as the one that it says would free it."""
    bar = bar_of(freed(car, end), end)

    assert abs(bar.link_length["left"] - freed(car, end).plan.settings[end].links["roll_bar"].found_length) > 0.3 * MM
    assert bar.twist == pytest.approx(0.0, abs=1e-10)
    assert bar.link_length["left"] == pytest.approx(bar.free_link_length["left"], abs=1e-10)
    assert all(abs(load) < 1e-4 for load in bar.wheel_load.values())


@pytest.mark.parametrize(("car", "end"), CARS)
def test_its_length_is_that_of_whole_cars_let_down_with_links_tried_by_hand(car, end):
    one = freed(car, end)
    planned, k = one.plan.planned, ENDS.index(end)
    joint = f"{end}.left.roll_bar_link"
    joints = {name: value for state in planned.states.values() for name, value in (state.settings or {}).items()}
    link = one.plan.settings[end].links["roll_bar"]

    def torque(length: float) -> float:
        put = joints | {joint: length}
        sits = settle(car_of(one.planned.document, *planned.models, put), planned.sits.travel)
        own = {name: value for name, value in put.items() if name.startswith(f"{end}.")}
        states = type(planned.states[end])(
            left=sits.travel[end, "left"],
            right=sits.travel[end, "right"],
            settings=own,
            attitude=(sits.pitch, sits.roll),
        )
        return anti_roll_bars_at_rest(one.planned.document.axle(ENDS[k]), planned.models[k], states)[0].torque

    found = brentq(torque, link.set_length - 3 * MM, link.set_length + 4 * MM, xtol=1e-12)
    assert link.set_length == link.free_length == pytest.approx(found, abs=1e-9)


@pytest.mark.parametrize(("car", "end"), CARS)
def test_the_freed_car_rests_where_a_second_method_puts_it(car, end):
    """All bodies of both axles as one mechanism, brought to rest by multipliers."""
    one = freed(car, end)
    planned = one.plan.planned
    joints = {name: value for state in planned.states.values() for name, value in (state.settings or {}).items()}
    whole = car_on_tyres(*planned.models, one.car.mass.centre_of_gravity_height.value)
    elements = {**planned.models[0].elements, **planned.models[1].elements}
    other = settled_by_multipliers(whole, elements, joints, planned.sits.travel)

    for corner in CORNERS:
        assert planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)


def test_either_side_frees_it():
    left, right = (freed("campion-22", "front", side).plan for side in ("left", "right"))
    more = [
        plan.settings["front"].links["roll_bar"].set_length - plan.settings["front"].links["roll_bar"].found_length
        for plan in (left, right)
    ]

    assert more[0] * more[1] < 0  # the other way on the other side
    for corner in CORNERS:  # a bar that carries nothing does not ask who freed it
        assert left.planned.sits.travel[corner] == pytest.approx(right.planned.sits.travel[corner], abs=1e-9)


def test_a_link_is_set_to_quarter_turns_within_its_ends():
    wish = LinkWish("left", shortest=100 * MM, longest=110 * MM, pitch=1.5 * MM)

    assert wish.set_to(105 * MM, 104 * MM) == (pytest.approx(105.125 * MM), 0.75)
    assert wish.set_to(130 * MM, 104 * MM) == (pytest.approx(110 * MM), 4.0)
    assert wish.set_to(60 * MM, 104 * MM) == (pytest.approx(100.25 * MM), -2.5)
    assert LinkWish("left").set_to(0.123, 0.1) == (0.123, None)


def test_a_link_that_is_too_long_says_what_would_be_needed():
    needed = freed("campion-22", "front").plan.settings["front"].links["roll_bar"].free_length
    ends = (("shortest", 44.6), ("longest", 52), ("thread_pitch", 1.5))
    one = freed("campion-22", "front", "left", ends)
    (lack,) = one.plan.short
    link = one.plan.settings["front"].links["roll_bar"]

    assert (lack.wish, lack.part) == ("free anti-roll bar", "drop link")
    assert link.set_length >= 44.6 * MM > lack.needed == link.free_length
    # As long as would truly free it: not where the car stands on the bar, but where it would stand without.
    assert lack.needed == pytest.approx(needed, abs=1e-9)
    assert lack.reached == pytest.approx(bar_of(one, "front").twist, abs=1e-12)
    assert "the drop link ends at" in " ".join(settings_of(one.plan, "metric"))


def test_it_is_told_last_with_its_length():
    one = freed("campion-22", "front")
    link = one.plan.settings["front"].links["roll_bar"]
    last = settings_of(one.plan, "metric")[-1]

    assert last.startswith(f"left front drop link: {link.set_length / MM:.1f} mm between the middles of its two ends")
    assert "the bar is then free" in last


def test_bands_are_told_about_the_link_that_is_set():
    one = freed("campion-22", "front")
    needed = settings_needed(one.planned.varies, one.plan.planned.models[0])
    link = one.plan.settings["front"].links["roll_bar"]

    # Asked at the heights wanted; the car stands where its springs' seats, which have no thread, leave it.
    assert np.isfinite(needed["front.left.roll_bar_link"][0])
    assert needed["front.left.roll_bar_link"][0] != link.found_length


@pytest.mark.parametrize(
    ("car", "end", "change", "words"),
    [
        ("brisk-14", "rear", {}, "has no anti-roll bar to free"),
        ("brisk-14", "front", "second", "hang on one link"),
    ],
)
def test_what_cannot_be_freed_is_refused(car, end, change, words):
    second = {
        "roll_bar_2": {"diameter": 15, "arm_end": [45, 500, 250], "bend": [250, 440, 238], "bush": [250, 340, 238]}
    }
    written = {"wanted": {end: {"free_bars": "left"}}, "change": {end: second if change else {}}}
    with pytest.raises(InputProblems) as raised:
        _ = Case(
            read_car(DEMO / f"{car}.toml"), JobDocument.model_validate({"job": {"name": "x", "car": "x"}, **written})
        ).plan

    (problem,) = raised.value.problems
    assert problem.place == f"wanted.{end}.free_bars"
    assert words in str(problem)
