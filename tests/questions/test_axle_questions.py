"""Influence, comply and loads of the planned car: asked where that stands, of the parts that it then has."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.axle.compliant import bushed_axle, standing, tangent
from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.bands import figures
from jounce.behaviour.influence import influences
from jounce.car.mechanics.bushes import jointed_axle
from jounce.car.mechanics.model import AXLES
from jounce.case.case import Case, case_of_file
from jounce.layouts.naming import SIDES
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked
from tests.bushed_axles import bushed_document

JOB = Path(str(files("jounce.demo"))) / "brisk-14-lower.toml"


@pytest.fixture(scope="module")
def case() -> Case:
    """The demo job on the demo car with bushes, tie rods and Panhard rod, which it adjusts, among them."""
    return Case(bushed_document(), case_of_file(JOB).job)


def tables(case, word, **given):
    """An answer's tables by title."""
    question = QUESTIONS[word]
    return {table.question: table for table in question.answer(Asked(question.filled(given), "metric", case))}


def rows(case, word, **given):
    """Rows for a spreadsheet."""
    question = QUESTIONS[word]
    return [list(row) for row in question.rows(Asked(question.filled(given), "metric", case))]


def numbers(table):
    return {row.name: row.values for row in table.rows}


@pytest.mark.parametrize("axle", AXLES)
def test_springs_of_the_standing_planned_car_carry_what_settles_it(case, axle):
    """The whole car on its tyres found them; here they follow from the wheel loads by the joints' rows alone.

    Unsprung weight acts square to the body here, to the road there: with a tenth of the load and a lean of 1e-3 rad that
    is a side force of 1e-4 of the load, of which the springs under a low roll centre feel a fifth at most.
    """
    told = numbers(tables(case, "loads", axle=axle)["What each part carries"])
    spring = "torsion bar" if axle == "front" else "coil spring"
    wheels = case.planned.standing.axles[axle].wheels

    for side in SIDES:
        assert told[f"{side} {spring}"][0] == pytest.approx(wheels[side].spring_force, rel=2e-5)


@pytest.mark.parametrize("axle", AXLES)
def test_static_loads_are_those_of_the_car_that_is_asked(case, axle):
    """Twice the static load on both wheels, under the car as found and under the lower one."""
    twice = (("t", '[[case]]\nname = "twice"\nleft = [0, 0, 2]\nright = [0, 0, 2]\n'),)
    found, planned = (rows(case, "loads", axle=axle, cases=twice, state=state)[1] for state in ("found", "planned"))

    assert found[:3] == planned[:3]
    assert found != planned


@pytest.mark.parametrize("axle", AXLES)
def test_tightened_where_the_planned_car_stands_no_bush_is_twisted(case, axle):
    """At rest there with every bush: the joints' own rest, its adjusted rods at their new lengths."""
    model = case.planned.models[AXLES.index(axle)]
    place = case.planned.places[axle]
    bushed = bushed_axle(model, jointed_axle(case.planned.document, axle), place)
    about = tangent(bushed, standing(bushed))
    released = [about.rows.index(name) for name in bushed.linkage.released]

    assert any(
        np.abs(value - model.stand.reference_values([name])[0, 0]) > 1e-4 for name, value in place.settings.items()
    )
    assert about.multipliers[:, released] == pytest.approx(0, abs=1e-6)
    # The wheel loads that the whole car put there, less what hangs below the springs, are what the heights' rows hold.
    for side, name in zip(SIDES, bushed.heights, strict=True):
        load = -about.multipliers[0, about.rows.index(name)]
        assert load == pytest.approx(case.planned.standing.sits.load[axle, side], rel=1e-9)
    # Put there again by hand it is at rest at once.
    assert standing(bushed, place).origin == pytest.approx(bushed.tightened.origin, abs=1e-10)


def test_bushes_tightened_as_found_would_be_twisted_there(case):
    """A control: the same bushes, not loosened, pull the lowered axle off its ideal joints' rest."""
    model, place = case.planned.models[0], case.planned.places["front"]
    jointed = jointed_axle(case.planned.document, "front")
    kept, again = bushed_axle(model, jointed), bushed_axle(model, jointed, place)

    assert np.abs(standing(kept, replace(place, settings=None)).origin - again.tightened.origin).max() > 1e-4


@pytest.mark.parametrize("axle", AXLES)
def test_rate_with_ideal_joints_is_that_of_the_standing_car(case, axle):
    told = numbers(tables(case, "comply", axle=axle)[f"Brisk 14, as planned: {axle} axle"])
    wheels = case.planned.standing.axles[axle].wheels

    assert told["wheel rate with ideal joints"] == pytest.approx([wheels[s].wheel_rate for s in SIDES], rel=1e-6)
    assert told["wheel rate on the bushes"] != pytest.approx([wheels[s].wheel_rate for s in SIDES], rel=1e-4)


def test_the_answer_says_where_the_bushes_are_tightened(case):
    remarks = [table.remarks for table in tables(case, "comply", state="both").values() if table.remarks]

    assert "tightened where the car was measured" in " ".join(remarks[0])
    assert "tightened again where this car stands" in " ".join(remarks[1])


@pytest.mark.parametrize("axle", AXLES)
def test_what_moves_a_result_starts_from_the_value_that_the_planned_car_has(case, axle):
    """Its lean and pitch counted, its rods as they are set: every angle of its geometry, every rate."""
    planned = case.planned
    found = influences(planned.varies, axle, planned.of_axles, [])
    geometry = {column.name: column.values[0] for column in planned.standing.geometry[axle].columns}

    assert abs(planned.of_axles.attitude[0]) > 1e-4
    for side in SIDES:
        for name in ("camber", "toe", "bump_steer"):
            value = geometry[f"{side}_{name}"]
            assert found.values[f"{axle}.{side}.{name}"] == pytest.approx(value, rel=1e-9, abs=1e-12)
        rate = planned.standing.axles[axle].wheels[side].wheel_rate
        assert found.values[f"{axle}.{side}.wheel_rate"] == pytest.approx(rate, rel=1e-6)


@pytest.mark.parametrize(
    ("axle", "path", "result"),
    [
        ("front", "change.front.torsion_bar.diameter", "front.left.wheel_rate"),
        ("rear", "change.rear.inner_bar.diameter", "rear.roll_stiffness"),
        ("front", "front.pivots.ball_joint.z", "front.left.camber"),
    ],
)
def test_a_number_of_the_job_or_of_the_car_moves_the_planned_car(case, axle, path, result):
    """The derivative beside a difference of sixth order over whole calculations."""
    planned = case.planned
    inputs = [one for one in planned.varies.every_input if one.path == path]
    exact = influences(planned.varies, axle, planned.of_axles, inputs).derivatives[result][0]
    step = 1e-5
    weights = {1: 45, 2: -9, 3: 1}
    ends = {
        k: figures(planned.varies.varied(inputs, np.array([k * step])).document, axle, planned.of_axles)[result][0]
        for n in weights
        for k in (n, -n)
    }
    by_difference = sum(weight * (ends[n] - ends[-n]) for n, weight in weights.items()) / 60 / step

    assert len(inputs) == 1
    assert exact == pytest.approx(by_difference, rel=2e-7)


def test_the_old_bar_moves_nothing_once_it_is_out(case):
    found, planned = (
        tables(case, "influence", state=state)["What one step up of each input changes"]
        for state in ("found", "planned")
    )

    assert (found.rows[0].name, found.rows[0].key) == ("front torsion bar diameter", "front.torsion_bar.diameter")
    assert planned.rows[0].name == "new front torsion bar diameter"
    assert planned.rows[0].key == "change.front.torsion_bar.diameter"
    assert "front.torsion_bar.diameter" not in [row.key for row in planned.rows]


def test_results_of_a_unit_too_coarse_for_them_are_told_with_four_digits(case):
    table = tables(case, "influence", state="found", result="left_bump_steer")["What one step up of each input changes"]
    shown = [row.number(row.values[1], "metric") for row in table.rows]

    assert len(shown) == 12
    assert all(len(one.lstrip("-0.")) == 4 for one in shown)
    assert all(abs(float(one)) >= abs(float(two)) for one, two in pairwise(shown))


@pytest.mark.parametrize(("word", "head"), [("loads", "case"), ("comply", "force")])
def test_rows_of_both_cars_name_the_car_and_those_of_one_do_not(case, word, head):
    both, found, planned = (rows(case, word, state=state) for state in ("both", "found", "planned"))

    assert both[0] == ["car", *found[0]]
    assert found[0][0] == head
    assert both[1:] == [["found", *row] for row in found[1:]] + [["planned", *row] for row in planned[1:]]


@pytest.mark.parametrize("word", ["loads", "comply"])
def test_at_counts_from_where_the_planned_car_stands(case, word):
    """No travel at all is where it stands."""
    here, there = rows(case, word), rows(case, word, at=("heave=0",))
    moved = rows(case, word, at=("heave=10",))
    column = 7 if word == "loads" else 3

    assert [float(row[column] or 0) for row in there[1:]] == pytest.approx(
        [float(row[column] or 0) for row in here[1:]], rel=1e-6, abs=1e-4
    )
    assert moved != here


def test_an_axle_is_put_by_wheels_and_steering_alone(case):
    """Rods and plates are set in the file or the job: turned here they would stretch bushes that a workshop loosens."""
    with pytest.raises(Exception, match="no place to put the axle"):
        rows(case, "comply", at=("left_tie_rod=1",))


def test_as_found_nothing_is_put_anywhere(case):
    assert case.found.places["front"] == AxleStates()
    assert case.found.of_axles.carried(case.found.models[0])["left"][0] == case.found.models[0].corner_load["left"][0]
