"""Trailing links that set where a beam points: by whole cars, plane geometry, a second method, at their ends."""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from jounce.behaviour.axle.compliant import bushed_axle
from jounce.behaviour.axle.motions import AxleStates, place_axle
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import settle
from jounce.car.file.reading import read_car
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.axes import CORNERS
from jounce.conventions.errors import InputProblems
from jounce.conventions.units import DEG, MM
from jounce.job.document import JobDocument
from jounce.job.plan import value_of
from jounce.job.setting_bands import settings_needed
from jounce.job.settings import trailing_of
from jounce.job.trailing_links import TrailingWish, thrust_line
from jounce.job.wording import settings_of
from tests.bushed_axles import demo_pair
from tests.reference.whole_car import car_on_tyres
from tests.reference.whole_car import settle as settled_by_multipliers

DEMO = Path(str(files("jounce.demo")))
CARS = ["brisk-14", "burnet-17", "teasel-15"]
"""Trailing arms with a Panhard rod, four links, trailing arms with a Watt linkage."""
ARMS = {"brisk-14": "arm_bush", "teasel-15": "arm_bush", "burnet-17": "lower_link_front"}
THREAD = {"perch": {"lowest": -60, "highest": 40, "pitch": 2}}
CENTRING = {
    "brisk-14": {"panhard": {"shortest": 800, "longest": 1100, "thread_pitch": 1.5}},
    "burnet-17": {"panhard": {"shortest": 800, "longest": 1100, "thread_pitch": 1.5}},
    "teasel-15": {"watt_bracket": {}},
}


@cache
def squared(car: str, links: tuple[tuple[str, float], ...] = (), thrust: float | None = 0.4) -> Case:
    """A car lower than it stood whose axle is to point a little to the left."""
    wanted = {"rear": {"lower": 25} | ({} if thrust is None else {"thrust": thrust})}
    change = {"rear": {**THREAD, **CENTRING[car], "trailing_links": dict(links)}}
    written = {"job": {"name": "x", "car": "x"}, "wanted": wanted, "change": change}
    return Case(read_car(DEMO / f"{car}.toml"), JobDocument.model_validate(written))


def joints_of(one: Case) -> dict[str, float]:
    return {name: value for state in one.plan.planned.states.values() for name, value in (state.settings or {}).items()}


def points(one: Case) -> float:
    """Where the planned axle points [rad]."""
    return thrust_line(*(value_of(one.plan.planned.geometry["rear"], f"{side}_toe") for side in ("left", "right")))


def thrust_with(one: Case, values: dict[str, float]) -> float:
    """Where the rear of the whole car points, let down with joints put by hand [rad]."""
    planned = one.plan.planned
    joints = joints_of(one) | values
    sits = settle(car_of(one.planned.document, *planned.models, joints), planned.sits.travel)
    own = {name: value for name, value in joints.items() if name.startswith("rear.")}
    at = {side: sits.travel["rear", side] for side in ("left", "right")}
    states = AxleStates(**at, settings=own, attitude=(sits.pitch, sits.roll))
    table = column_map(states_table(planned.models[1].stand, planned.models[1].linkage, states, (1.0, 1.0)))
    return float(thrust_line(table["left_toe"][0], table["right_toe"][0]))


def with_lengths(one: Case, left: float, right: float) -> dict[str, float]:
    """Values of the joints with links that are longer than found by so much [m]."""
    links, stand = trailing_of(one.planned.document.rear), one.plan.planned.models[1].stand
    values = {}
    for side, longer in (("left", left), ("right", right)):
        for joint in links.of_side("rear", side):
            values[joint] = float(stand.reference_values([joint])[0, 0]) + links.sense * longer
    return values


@pytest.mark.parametrize("car", CARS)
def test_the_axle_points_where_whole_cars_tried_by_hand_do(car):
    one = squared(car)
    links = one.plan.settings["rear"].trailing
    found = brentq(lambda half: thrust_with(one, with_lengths(one, half, -half)) - 0.4 * DEG, -0.03, 0.03, xtol=1e-13)

    assert points(one) == pytest.approx(0.4 * DEG, abs=1e-9)
    assert links.longer == {"left": pytest.approx(found, abs=1e-9), "right": pytest.approx(-found, abs=1e-9)}
    # Told for the height as planned, from which a car with its links as found stands off by some hundredths of 1 mm.
    assert links.thrust_if_left == pytest.approx(thrust_with(one, with_lengths(one, 0.0, 0.0)), abs=0.001 * DEG)


@pytest.mark.parametrize("car", CARS)
def test_the_difference_is_the_turn_times_how_far_the_links_lie_apart(car):
    """Plane geometry: an axle held by two links that lie ``b`` apart turns by ``d / b`` for a difference ``d``.

    Within the tilt and splay of the links: an axle whose left is pushed back points to the left.
    """
    one = squared(car)
    links = one.plan.settings["rear"].trailing
    pivots = one.car.rear.left.pivots
    wide = 2 * getattr(pivots, ARMS[car]).y
    turned = 0.4 * DEG - links.thrust_if_left

    assert links.longer["left"] > 0 > links.longer["right"]
    assert links.apart == pytest.approx(wide * math.tan(turned), rel=0.1)


@pytest.mark.parametrize("car", CARS)
def test_the_squared_car_rests_where_a_second_method_puts_it(car):
    """All bodies of both axles as one mechanism, brought to rest by multipliers."""
    one = squared(car)
    planned = one.plan.planned
    whole = car_on_tyres(*planned.models, one.car.mass.centre_of_gravity_height.value)
    elements = {**planned.models[0].elements, **planned.models[1].elements}
    other = settled_by_multipliers(whole, elements, joints_of(one), planned.sits.travel)

    for corner in CORNERS:
        assert planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)


@pytest.mark.parametrize("car", CARS)
def test_links_of_a_side_that_are_longer_push_its_wheel_to_the_rear(car):
    model = squared(car).plan.planned.models[1]
    places = []
    for longer in (0.0, 2 * MM):
        states = AxleStates(settings=with_lengths(squared(car), longer, longer))
        table = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))
        places.append([float(table[f"{side}_contact_x"][0]) for side in ("left", "right")])

    assert np.diff(places, axis=0)[0] == pytest.approx([-2 * MM, -2 * MM], rel=0.02)


def test_both_links_of_a_side_nearly_leave_the_axle_s_slope():
    """Links that are not parallel tilt it a little; the lower ones alone would twist the tube several times as much."""
    one = squared("burnet-17")
    model, stand = one.plan.planned.models[1], one.plan.planned.models[1].stand
    both = with_lengths(one, 2 * MM, -2 * MM)
    lower = {joint: value for joint, value in both.items() if "lower" in joint}
    none, of_both, of_lower = (
        stand.taken(["rear.inner_bar_twist"]).values(place_axle(stand, model.name, AxleStates(settings=put)).pose)[0, 0]
        for put in ({}, both, lower)
    )

    assert none == pytest.approx(0.0, abs=1e-12)
    assert abs(of_lower) > 4 * abs(of_both)


def test_a_thread_goes_by_quarter_turns_and_its_difference_counts_first():
    wish = TrailingWish(0.0, longer=4 * MM, shorter=3 * MM, pitch=2 * MM)
    longer, turns = wish.on_thread({"left": 1.3 * MM, "right": -1.3 * MM})

    assert turns == {"left": 0.5, "right": -0.75}
    assert longer["left"] - longer["right"] == pytest.approx(2.5 * MM)
    assert {side: float(one) for side, one in wish.split(6.5 * MM).items()} == pytest.approx(
        {"left": 3.5 * MM, "right": -3 * MM}
    )
    assert {side: float(one) for side, one in wish.split(-20 * MM).items()} == pytest.approx(
        {"left": -3 * MM, "right": 4 * MM}
    )
    assert wish.on_thread({"left": 4 * MM, "right": -3 * MM})[1] == {"left": 2.0, "right": -1.5}


@pytest.mark.parametrize("car", CARS)
def test_threads_leave_less_than_an_eighth_of_a_turn_s_worth(car):
    one = squared(car, (("thread_pitch", 1.5),))
    links = one.plan.settings["rear"].trailing
    worth = 0.4 * DEG / links.apart_needed

    assert all(turns * 4 == round(turns * 4) for turns in links.turns.values())
    assert abs(points(one) - 0.4 * DEG) <= 1.02 * worth * 1.5 * MM / 8
    assert {check.verdict for check in one.checks if "thrust line" in check.question} == {Verdict.PASS}


@pytest.mark.parametrize("car", CARS)
def test_one_side_at_its_end_leaves_the_rest_to_the_other(car):
    half = squared(car).plan.settings["rear"].trailing.longer["left"]
    one = squared(car, (("longer", 30), ("shorter", half / MM / 2)))
    links = one.plan.settings["rear"].trailing
    found = brentq(lambda left: thrust_with(one, with_lengths(one, left, -half / 2)) - 0.4 * DEG, 0.0, 0.03, xtol=1e-13)

    assert points(one) == pytest.approx(0.4 * DEG, abs=1e-9)
    assert links.longer == {"left": pytest.approx(found, abs=1e-9), "right": pytest.approx(-half / 2, abs=1e-9)}
    assert one.plan.short == ()


@pytest.mark.parametrize("car", CARS)
def test_links_at_both_ends_say_where_the_axle_points_and_what_would_be_needed(car):
    needed = squared(car).plan.settings["rear"].trailing.apart_needed
    end = needed / 4
    one = squared(car, (("longer", end / MM), ("shorter", end / MM)))
    (lack,) = one.plan.short

    assert (lack.wish, lack.wanted) == ("thrust line", pytest.approx(0.4 * DEG))
    assert lack.set == pytest.approx(2 * end, abs=1e-12)
    assert lack.needed == pytest.approx(needed, abs=0.05 * MM)  # told to 0.1 mm, where the car then stands
    assert lack.reached == pytest.approx(thrust_with(one, with_lengths(one, end, -end)), abs=1e-9)
    assert lack.reached < 0.3 * DEG
    told = " ".join(settings_of(one.plan, "metric"))
    assert "mm longer on the left than on the right would be needed" in told
    check = next(check for check in one.checks if "thrust line" in check.question)
    assert check.verdict is Verdict.FAIL
    assert "ends at" in check.sentence


def test_without_a_wish_it_is_put_straight_and_words_tell_it():
    one = squared("brisk-14", (("thread_pitch", 1.5),), -0.4)
    links = one.plan.settings["rear"].trailing
    line = next(text for text in settings_of(one.plan, "metric") if text.startswith("rear trailing arms"))
    order = [text.split(":")[0] for text in settings_of(one.plan, "metric")]

    assert f"right {_quarters(links.turns['right'])} turns longer" in line
    assert f"left {_quarters(-links.turns['left'])} turns shorter" in line
    assert "the axle then points 0.4" in line
    assert "° to the right" in line
    assert order.index("Panhard rod") < order.index("rear trailing arms")
    straight = squared("brisk-14", (), None)
    assert points(straight) == pytest.approx(0.0, abs=1e-9)


def _quarters(turns: float) -> str:
    whole, part = divmod(round(turns * 4), 4)
    return f"{whole or ''}{['', '¼', '½', '¾'][part]}"


def test_toes_wanted_of_both_wheels_set_the_links_and_shims_share_out_the_rest():
    """Left and right toe say where the axle points: links give their mean line, shims their sum."""
    written = {
        "job": {"name": "x", "car": "x"},
        "wanted": {"rear": {"lower": 25, "left_toe": -0.1, "right_toe": 0.3}},
        "change": {"rear": {**THREAD, **CENTRING["burnet-17"], "trailing_links": {}}},
    }
    one = Case(read_car(DEMO / "burnet-17.toml"), JobDocument.model_validate(written))
    settings = one.plan.settings["rear"]
    shims = [settings.wheels[side].shims["toe"] for side in ("left", "right")]

    assert points(one) == pytest.approx(0.2 * DEG, abs=1e-8)
    assert settings.trailing.wanted == pytest.approx(0.2 * DEG)
    assert shims[0] == pytest.approx(shims[1], abs=0.002 * DEG)


@pytest.mark.parametrize("car", CARS)
def test_bands_are_told_about_the_links_that_are_set(car):
    one = squared(car)
    needed = settings_needed(one.planned.varies, one.plan.planned.models[1])
    links = one.plan.settings["rear"].trailing

    for side in ("left", "right"):
        assert needed[f"rear.{side}.trailing_link"][0] == pytest.approx(links.longer[side], abs=0.05 * MM)
        assert 0 < one.planned.bands[f"rear.{side}.trailing_link"].plus_minus < 10 * MM


def test_an_arm_on_a_bush_is_set_as_an_arm_without_one():
    """Its bushes tightened with the arms set, nothing is left of the rubber: the axle lies as that on ideal joints."""
    longer = {"rear.left.arm_bush_fore": -2 * MM, "rear.right.arm_bush_fore": 2 * MM}
    model, jointed = demo_pair("rear")
    bushed = bushed_axle(model, jointed, AxleStates(settings=longer))
    rigid = place_axle(model.stand, "rear", AxleStates(settings=longer)).pose
    steer = [
        stand.taken(["rear.axle_steer"]).values(at)[0, 0]
        for stand, at in ((bushed.stand, bushed.tightened), (model.stand, rigid))
    ]

    assert "rear.left.arm_bush_fore" not in bushed.stand.joints
    assert steer[0] == pytest.approx(steer[1], abs=1e-12)
    assert abs(steer[1]) > 0.1 * DEG


@pytest.mark.parametrize(
    ("car", "end", "wanted", "change", "words"),
    [
        ("brisk-14", "rear", {"thrust": 0}, {}, "No trailing arms that can be set are fitted"),
        ("brisk-14", "rear", {"thrust": 0, "toe": 0.1}, {"trailing_links": {}}, "both asked for"),
        ("brisk-14", "front", {"thrust": 0}, {}, "No links of this car's front axle set its thrust line"),
        ("bracken-16", "rear", {}, {"trailing_links": {}}, "has no trailing links to exchange"),
    ],
)
def test_what_nothing_sets_is_refused(car, end, wanted, change, words):
    written = {"job": {"name": "x", "car": "x"}, "wanted": {end: wanted}, "change": {end: change}}
    with pytest.raises(InputProblems) as raised:
        _ = Case(read_car(DEMO / f"{car}.toml"), JobDocument.model_validate(written)).plan

    assert words in str(raised.value)
