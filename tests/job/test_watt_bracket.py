"""A Watt linkage's bracket that centres its axle: by whole cars let down, by its rods, by a second method, at its end."""

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
from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.axes import CORNERS
from jounce.conventions.units import MM
from jounce.job.document import JobDocument
from jounce.job.plan import value_of
from jounce.job.setting_bands import settings_needed
from jounce.job.watt_bracket import BracketRange
from jounce.job.wording import settings_of
from tests.reference.whole_car import car_on_tyres
from tests.reference.whole_car import settle as settled_by_multipliers

CAR = Path(str(files("jounce.demo").joinpath("teasel-15.toml")))
THREAD = {"perch": {"lowest": -60, "highest": 40, "pitch": 2}}


@cache
def lowered(bracket: tuple[tuple[str, float], ...] | None = ()) -> Case:
    """A car on rods that do not lie level, lower than it stood: its axle stands beside the middle unless it is moved."""
    watt = {} if bracket is None else {"watt_bracket": dict(bracket)}
    written = {"wanted": {"rear": {"lower": 40}}, "change": {"rear": {**THREAD, **watt}}}
    text = CAR.read_text("utf-8").replace("left_rod_end = [-2540, 470, 330]", "left_rod_end = [-2540, 470, 300]")
    return Case(parse_car(text, "car"), JobDocument.model_validate({"job": {"name": "x", "car": "x"}, **written}))


def shift_with(one: Case, values: dict[str, float]) -> float:
    """Axle shift of the whole car let down with joints of the rear put by hand [m]."""
    planned = one.plan.planned
    joints = {
        name: value for state in planned.states.values() for name, value in (state.settings or {}).items()
    } | values
    sits = settle(car_of(one.planned.document, *planned.models, joints), planned.sits.travel)
    own = {name: value for name, value in joints.items() if name.startswith("rear.")}
    at = {side: sits.travel["rear", side] for side in ("left", "right")}
    states = AxleStates(**at, settings=own, attitude=(sits.pitch, sits.roll))
    table = column_map(states_table(planned.models[1].stand, planned.models[1].linkage, states, (1.0, 1.0)))
    return float(table["axle_shift"][0])


def test_without_a_bracket_that_moves_the_axle_stays_as_it_comes():
    one = lowered(None)

    assert one.plan.settings["rear"].bracket is None
    assert abs(value_of(one.plan.planned.geometry["rear"], "axle_shift")) > 0.5 * MM


def test_the_bracket_centres_the_axle_where_whole_cars_tried_by_hand_stand():
    one = lowered()
    bracket = one.plan.settings["rear"].bracket
    found = brentq(lambda place: shift_with(one, {"rear.watt_bracket": place}), -20 * MM, 20 * MM, xtol=1e-12)

    assert value_of(one.plan.planned.geometry["rear"], "axle_shift") == pytest.approx(0.0, abs=1e-9)
    assert bracket.set_place == bracket.centring_place == pytest.approx(found, abs=1e-9)
    assert bracket.shift_if_left == pytest.approx(shift_with(one, {"rear.watt_bracket": 0.0}), abs=2e-6)


def test_rods_longer_on_one_side_and_shorter_on_the_other_do_the_same():
    """The rocker's pivot is half way between its ends: it moves by what both ends move, as much as the bracket did."""
    one = lowered()
    rods = [f"rear.watt_rod_{side}" for side in ("left", "right")]
    found = one.plan.planned.models[1].stand.reference_values(rods)[0]

    def by_rods(longer: float) -> float:
        put = {rods[0]: float(found[0]) + longer, rods[1]: float(found[1]) - longer, "rear.watt_bracket": 0.0}
        return shift_with(one, put)

    longer = brentq(by_rods, -20 * MM, 20 * MM, xtol=1e-12)
    assert abs(longer) == pytest.approx(abs(one.plan.settings["rear"].bracket.set_place), rel=0.02)  # the rods slope


def test_the_centred_car_rests_where_a_second_method_puts_it():
    """All bodies of both axles as one mechanism, brought to rest by multipliers."""
    one = lowered()
    planned = one.plan.planned
    joints = {name: value for state in planned.states.values() for name, value in (state.settings or {}).items()}
    whole = car_on_tyres(*planned.models, one.car.mass.centre_of_gravity_height.value)
    elements = {**planned.models[0].elements, **planned.models[1].elements}
    other = settled_by_multipliers(whole, elements, joints, planned.sits.travel)

    for corner in CORNERS:
        assert planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)


def test_a_bracket_at_its_end_says_where_the_axle_stands_and_what_would_be_needed():
    place = lowered().plan.settings["rear"].bracket.centring_place
    end = abs(place) / MM / 2
    one = lowered((("left", end), ("right", end)))
    (lack,) = [each for each in one.plan.short if each.wish == "middle of the axle"]

    assert abs(one.plan.settings["rear"].bracket.set_place) == pytest.approx(end * MM, abs=1e-12)
    assert lack.needed == pytest.approx(place, abs=1e-5)
    assert lack.reached == pytest.approx(value_of(one.plan.planned.geometry["rear"], "axle_shift"), abs=1e-15)
    check = next(check for check in one.checks if check.code == "AXS-01" and "rear" in check.question)
    assert "the Watt linkage's bracket ends at" in check.sentence
    assert check.sentence[1:] in " ".join(settings_of(one.plan, "metric"))


def test_a_bracket_goes_by_its_holes_within_its_ends():
    goes = BracketRange(left=7 * MM, right=4 * MM, step=3 * MM)

    assert [goes.place(way * MM) / MM for way in (1, 2, 9, -2, -9)] == pytest.approx([0, 3, 6, -3, -3])
    assert BracketRange().place(0.4) == 0.4


def test_words_tell_the_side_and_what_is_left_without_it():
    bracket = lowered().plan.settings["rear"].bracket
    line = next(text for text in settings_of(lowered().plan, "metric") if text.startswith("rear Watt linkage"))
    side, away = ("left" if way > 0 else "right" for way in (bracket.set_place, bracket.shift_if_left))

    assert f"its rocker's bracket {abs(bracket.set_place) / MM:.1f} mm to the {side}" in line
    assert "in the middle" in line
    assert f"it would stand {abs(bracket.shift_if_left) / MM:.1f} mm to the {away}." in line


def test_bands_are_told_about_the_bracket_that_is_set():
    one = lowered()
    needed = settings_needed(one.planned.varies, one.plan.planned.models[1])

    assert needed["rear.bracket"][0] == pytest.approx(one.plan.settings["rear"].bracket.set_place, abs=0.1 * MM)
    assert {check.verdict for check in one.checks if check.code == "AXS-01"} == {Verdict.PASS}
    assert np.isfinite(one.planned.bands["rear.bracket"].plus_minus)
