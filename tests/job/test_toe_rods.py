"""Rods that set the toe at the ends of their threads: by whole cars tried by hand, a second method, in words."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from jounce.behaviour.axle.motions import AxleStates
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
from jounce.job.wording import settings_of
from tests.reference.whole_car import car_on_tyres
from tests.reference.whole_car import settle as settled_by_multipliers

DEMO = Path(str(files("jounce.demo")))
THREAD = {"perch": {"lowest": -60, "highest": 60, "pitch": 2}}
CARS = [
    ("burnet-17", "front", "tie_rod"),
    ("campion-22", "rear", "rear_lateral_link"),
    ("sorrel-21", "front", "tie_rod"),
]
"""Struts, wishbones, and struts on lateral links set by a toe link."""


@cache
def toed(car: str, end: str, share: float | None = None) -> Case:
    """A lowered car with half a degree of toe-in wanted at each wheel; threads that give a share of what the left needs."""
    rods = {}
    if share is not None:
        needed = toed(car, end).plan.settings[end].wheels["left"].tie_rod
        most = abs(needed) / MM * share
        rods = {"toe_rod": {"longer": most, "shorter": most}}
    thread = THREAD if read_car(DEMO / f"{car}.toml").axle(end).left.model_fields_set & {"spring"} else {}
    written = {
        "job": {"name": "x", "car": "x"},
        "wanted": {end: {"lower": 15, "toe": 0.5}},
        "change": {end: {**thread, **rods}},
    }
    return Case(read_car(DEMO / f"{car}.toml"), JobDocument.model_validate(written))


def read_with(one: Case, end: str, values: dict[str, float]) -> dict[str, float]:
    """Angles of an axle of the whole car let down with joints put by hand [rad]."""
    planned, k = one.plan.planned, ("front", "rear").index(end)
    joints = {
        name: value for state in planned.states.values() for name, value in (state.settings or {}).items()
    } | values
    sits = settle(car_of(one.planned.document, *planned.models, joints), planned.sits.travel)
    own = {name: value for name, value in joints.items() if name.startswith(f"{end}.")}
    at = {side: sits.travel[end, side] for side in ("left", "right")}
    states = AxleStates(**at, settings=own, attitude=(sits.pitch, sits.roll))
    model = planned.models[k]
    table = column_map(states_table(model.stand, model.linkage, states, (1.0, 1.0)))
    return {name: float(column[0]) for name, column in table.items()}


@pytest.mark.parametrize(("car", "end", "rod"), CARS)
def test_a_rod_stays_at_the_end_of_its_thread_and_toe_is_what_whole_cars_have_there(car, end, rod):
    whole, one = toed(car, end), toed(car, end, 0.6)
    k = ("front", "rear").index(end)
    joint = f"{end}.left.{rod}"
    found = float(one.plan.planned.models[k].stand.reference_values([joint])[0, 0])
    wheel = one.plan.settings[end].wheels["left"]
    needed = whole.plan.settings[end].wheels["left"].tie_rod
    lack = next(lack for lack in one.plan.short if lack.side == "left")

    assert wheel.tie_rod == pytest.approx(0.6 * needed, abs=1e-12)
    reached = read_with(one, end, {joint: found + 0.6 * needed})["left_toe"]
    assert (lack.wish, lack.wanted) == ("toe", pytest.approx(0.5 * DEG))
    assert lack.reached == pytest.approx(reached, abs=1e-9)
    assert lack.reached == pytest.approx(value_of(one.plan.planned.geometry[end], "left_toe"), abs=1e-15)
    by_hand = brentq(
        lambda longer: read_with(one, end, {joint: found + longer})["left_toe"] - 0.5 * DEG,
        min(0.0, 2 * needed),
        max(0.0, 2 * needed),
        xtol=1e-12,
    )
    assert lack.needed == pytest.approx(by_hand, abs=0.05 * MM)  # told to 0.1 mm


@pytest.mark.parametrize(("car", "end", "rod"), CARS)
def test_the_car_with_its_rods_at_their_ends_rests_where_a_second_method_puts_it(car, end, rod):
    """All bodies of both axles as one mechanism, brought to rest by multipliers."""
    one = toed(car, end, 0.6)
    planned = one.plan.planned
    joints = {name: value for state in planned.states.values() for name, value in (state.settings or {}).items()}
    whole = car_on_tyres(*planned.models, one.car.mass.centre_of_gravity_height.value)
    elements = {**planned.models[0].elements, **planned.models[1].elements}
    other = settled_by_multipliers(whole, elements, joints, planned.sits.travel)

    assert rod in " ".join(joints)
    for corner in CORNERS:
        assert planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)


def test_camber_is_given_all_the_same_by_what_sets_it():
    """Plates move until the camber is right with the rods where they end; toe alone is missed."""
    free = {"wanted": {"front": {"lower": 15, "camber": -1.4, "toe": 0.5}}, "change": {"front": {"top_plate": {}}}}
    short = {**free, "change": {"front": {"top_plate": {}, "toe_rod": {"longer": 0.1, "shorter": 0.1}}}}
    told = [
        Case(read_car(DEMO / "burnet-17.toml"), JobDocument.model_validate({"job": {"name": "x", "car": "x"}, **one}))
        for one in (free, short)
    ]
    wheels = [one.plan.settings["front"].wheels["left"] for one in told]
    angles = [[value_of(one.plan.planned.geometry["front"], f"left_{a}") for a in ("camber", "toe")] for one in told]

    assert abs(wheels[0].tie_rod) > 0.3 * MM
    assert abs(wheels[1].tie_rod) == pytest.approx(0.1 * MM, abs=1e-12)
    assert [camber for camber, _ in angles] == pytest.approx([-1.4 * DEG, -1.4 * DEG], abs=1e-8)
    assert angles[0][1] == pytest.approx(0.5 * DEG, abs=1e-8)
    assert abs(angles[1][1] - 0.5 * DEG) > 0.02 * DEG
    assert wheels[1].plate_inward != pytest.approx(wheels[0].plate_inward, abs=1e-6)


def test_what_is_missed_is_told_with_the_settings_and_by_the_check():
    one = toed("burnet-17", "front", 0.6)
    line = next(text for text in settings_of(one.plan, "metric") if text.startswith("left front wheel"))
    failed = [check for check in one.checks if check.code == "ALN-01" and check.verdict is Verdict.FAIL]

    assert "the tie rod ends at" in line
    assert "would be needed" in line
    assert [check.question for check in failed] == [f"Is the {side} front toe as wanted?" for side in ("left", "right")]
    assert toed("burnet-17", "front", 3.0).plan.short == ()


def test_bands_are_told_about_the_length_that_toe_needs():
    one = toed("burnet-17", "front", 0.6)
    needed = settings_needed(one.planned.varies, one.plan.planned.models[0])
    wheel = one.plan.settings["front"].wheels["left"]

    assert np.real(needed["front.left.tie_rod"][0]) == pytest.approx(wheel.tie_rod_needed, abs=0.1 * MM)
    assert one.planned.bands["front.left.tie_rod"].plus_minus > 0


def test_an_axle_without_such_rods_refuses_them():
    written = {"job": {"name": "x", "car": "x"}, "change": {"rear": {"toe_rod": {"longer": 3}}}}
    with pytest.raises(InputProblems, match="has no toe rod to exchange"):
        _ = Case(read_car(DEMO / "burnet-17.toml"), JobDocument.model_validate(written)).plan
