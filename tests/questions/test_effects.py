"""Effects of every adjuster: sums that have to hold, the car's own mirror, and a second solver for a turn of a seat."""

from __future__ import annotations

import csv
import io
import json
import math
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.reading import read_car
from jounce.checks import Verdict
from jounce.checks.side_effects import knock_on
from jounce.cli.app import commands
from jounce.conventions.constants import GRAVITY
from jounce.elements.law import Shifted
from jounce.job.on_road import car_in
from jounce.linkage.balance import Element
from jounce.questions.effects import effects_of
from tests.job.changed_jobs import worked
from tests.reference.whole_car import car_on_tyres, settle

SIDES = ("left", "right")
CORNERS = [f"{end} {side}" for end in ("front", "rear") for side in SIDES]


@cache
def demo():
    job = worked()
    return effects_of(job.planned, car_in(job.planned, job.plan.planned), "planned")


@cache
def told():
    """Changes by group, adjuster and quantity."""
    found = demo()
    names = [quantity.name for quantity in found.stands]
    return {
        (effect.adjuster.group, effect.adjuster.name): dict(zip(names, effect.changes, strict=True))
        for effect in found.effects
    }


def test_every_adjuster_is_there():
    groups = {group for group, _ in told()}

    assert groups == {
        "front springs: tooth at the arm",
        "front springs: tooth at the anchor",
        "rear springs: turn of the perch",
        "front top plates: 1 mm inward",
        "front top plates: 1 mm rearward",
        "front tie rods: 1 mm longer",
        "rear hub shims: camber +0.1 deg",
        "rear hub shims: toe +0.1 deg",
        "front drop links: 1 mm longer",
        "rear trailing arms: 1 mm longer",
        "rods and plates: Panhard rod",
        "aboard",
    }
    assert len(told()) == 10 * 2 + 1 + 3


def test_as_it_stands_is_the_plan_s_own_car():
    sits = worked().plan.planned.sits
    stands = {quantity.name: quantity.value for quantity in demo().stands}

    for end in ("front", "rear"):
        for side in SIDES:
            assert stands[f"{end} {side} load"] == pytest.approx(sits.load[end, side], abs=0.01)
            assert stands[f"{end} {side} height"] == pytest.approx(-sits.travel[end, side], abs=1e-7)


def test_caster_is_told_alike_to_the_road_on_a_car_lowered_in_front_alone():
    """Its nose goes down: the verdict on the caster wanted, the car's effects and what else moves are one number."""
    job = worked(
        (
            ("camber = -1.0", "camber = -1.0\ncaster = 3.5"),
            ("[wanted.rear]\nlower = 35", "[wanted.rear]\nlower = 0"),
            ("reach_outward = 10", "reach_outward = 10\nreach_fore = 15\nreach_rear = 15"),
        )
    )
    planned = effects_of(job.planned, car_in(job.planned, job.plan.planned), "planned")
    found = effects_of(job.car, car_in(job.car, job.plan.found), "found")
    now, was = ({q.name: q.value for q in one.stands} for one in (planned, found))
    verdicts = {check.question: check for check in job.checks("ALN-01")}
    moved = next(one for one in knock_on(job.job, job.plan) if one.moved == "caster")

    assert job.plan.planned.sits.pitch > math.radians(0.4)
    for side in SIDES:
        check, caster = verdicts[f"Is the {side} front caster as wanted?"], now[f"front {side} caster"]
        assert check.verdict is Verdict.PASS
        assert caster == pytest.approx(math.radians(3.5), abs=math.radians(0.02))
        assert check.value == pytest.approx(abs(caster - math.radians(3.5)), abs=1e-7)
    assert moved.value == pytest.approx(now["front left caster"] - was["front left caster"], abs=1e-7)


def test_adjusters_move_weight_about_and_loads_bring_it():
    for (group, name), changes in told().items():
        total = sum(changes[f"{corner} load"] for corner in CORNERS)
        brought = {"passenger": 75, "rear seat": 75, "boot": 40}.get(name, 0) if group == "aboard" else 0

        assert total == pytest.approx(brought * GRAVITY, abs=1e-3), (group, name)


def test_cross_weight_goes_up_by_what_its_two_wheels_gain():
    stands = {quantity.name: quantity.value for quantity in demo().stands}
    total = sum(stands[f"{corner} load"] for corner in CORNERS)
    changes = told()["rear springs: turn of the perch", "left"]
    gained = changes["front right load"] + changes["rear left load"]

    assert gained > 0
    assert changes["cross weight"] == pytest.approx(gained / total, rel=1e-6)


def test_a_turn_of_a_seat_is_what_the_other_solver_of_the_whole_car_finds():
    """`settle` puts the whole car as one mechanism into equilibrium; the effects come from the car on its road."""
    job = worked()
    plan = job.plan.planned
    models = plan.models
    settings = {name: float(np.ravel(v)[0]) for s in plan.states.values() for name, v in (s.settings or {}).items()}
    car = car_on_tyres(*models, job.planned.mass.centre_of_gravity_height.value)
    name = "rear.left.main_spring"
    spring = models[1].elements[name]
    raised = Element(spring.measure, Shifted(spring.law, 0.002), spring.sense, spring.zero)
    elements = {**models[0].elements, **models[1].elements}
    before, after = settle(car, elements, settings), settle(car, {**elements, name: raised}, settings)
    changes = told()["rear springs: turn of the perch", "left"]

    for end in ("front", "rear"):
        for side in SIDES:
            height = before.travel[end, side] - after.travel[end, side]
            load = after.load[end, side] - before.load[end, side]
            assert changes[f"{end} {side} height"] == pytest.approx(height, abs=1e-8)
            assert changes[f"{end} {side} load"] == pytest.approx(load, abs=1e-3)


def test_a_longer_tie_rod_behind_the_axle_turns_the_wheel_in_about_its_steering_axis():
    """1 mm at the arm's length behind the steering axis, which leans: within a few per cent the plan view says it."""
    changes = told()["front tie rods: 1 mm longer", "left"]
    arm = 0.125 + 0.005  # joint behind the ball joint [m]

    assert changes["front left toe"] == pytest.approx(0.001 / arm, rel=0.05)
    assert abs(changes["front right toe"]) < math.radians(0.001)


def test_a_turn_of_the_rod_moves_the_axle_by_its_length_away_from_the_body_s_joint():
    changes = told()["rods and plates: Panhard rod", "turn longer"]

    assert changes["rear axle shift, + left"] == pytest.approx(-0.0015, rel=0.01)  # the body's joint is on the left


def test_a_longer_drop_link_is_what_the_other_solver_of_the_whole_car_finds():
    """The car as one mechanism of all bodies, put to rest with the link as it is and 1 mm longer."""
    job = worked()
    models = job.plan.planned.models
    joints = {
        name: float(np.ravel(v)[0]) for s in job.plan.planned.states.values() for name, v in (s.settings or {}).items()
    }
    car = car_on_tyres(*models, job.planned.mass.centre_of_gravity_height.value)
    elements = {**models[0].elements, **models[1].elements}
    links = [f"front.left.{bar}_link" for bar in ("roll_bar", "roll_bar_2")]  # one link that both bars hang on
    found = models[0].stand.reference_values(links)[0]
    put = [joints | {link: float(now) + more for link, now in zip(links, found, strict=True)} for more in (0.0, 0.001)]
    before, after = (settle(car, elements, values) for values in put)
    changes = told()["front drop links: 1 mm longer", "left"]

    for end in ("front", "rear"):
        for side in SIDES:
            moved = before.travel[end, side] - after.travel[end, side]
            load = after.load[end, side] - before.load[end, side]
            assert changes[f"{end} {side} height"] == pytest.approx(moved, abs=1e-8)
            assert changes[f"{end} {side} load"] == pytest.approx(load, abs=1e-3)
    assert abs(changes["cross weight"]) > 1e-4


def test_a_turn_of_a_drop_link_is_its_thread_where_the_job_tells_it():
    """Of the car as found nobody knows the thread; a turn of 1.5 mm moves half as much again as 1 mm."""
    link = "[change.front.drop_link]\nshortest = 40\nlongest = 60\nthread_pitch = 1.5\n\n[change.rear.panhard]"
    job = worked((("[change.rear.panhard]", link),))
    by_turn = effects_of(job.planned, car_in(job.planned, job.plan.planned), "planned", job.job.change)
    (turn,) = [
        e for e in by_turn.effects if (e.adjuster.group, e.adjuster.name) == ("front drop links: turn longer", "left")
    ]
    names = [quantity.name for quantity in by_turn.stands]
    share = dict(zip(names, turn.changes, strict=True))["cross weight"]

    assert share == pytest.approx(1.5 * told()["front drop links: 1 mm longer", "left"]["cross weight"], rel=0.01)


def test_an_even_car_answers_left_as_right():
    """A car as good as symmetric: what the left plate does to the left, the right one does to the right."""
    left, right = (told()["front top plates: 1 mm inward", side] for side in SIDES)

    for angle in ("camber", "toe"):
        assert left[f"front left {angle}"] == pytest.approx(right[f"front right {angle}"], rel=0.02)
    assert left["front left camber"] < 0


@pytest.mark.parametrize("name", ["mallow-18", "fescue-10", "sorrel-21"])
def test_other_layouts_have_their_own_adjusters(name):
    car = read_car(Path(str(files("jounce.demo").joinpath(f"{name}.toml"))))
    found = effects_of(car, car_as_found(car), "found")

    assert len(found.effects) >= 4
    assert all(effect.changes is not None for effect in found.effects)


def test_command_writes_tables_csv_and_json(tmp_path):
    for name in ("brisk-14.toml", "brisk-14-lower.toml"):
        (tmp_path / name).write_text(files("jounce.demo").joinpath(name).read_text("utf-8"), "utf-8")
    job = str(tmp_path / "brisk-14-lower.toml")
    shown, table, values = (
        CliRunner().invoke(commands, ["effects", job, *more]) for more in ([], ["--csv", "-"], ["--json", "-"])
    )
    rows = list(csv.DictReader(io.StringIO(table.stdout)))
    cell = next(
        row
        for row in rows
        if row["adjuster"] == "rear springs: turn of the perch, left" and row["quantity"] == "rear left height"
    )

    assert "Step: tie rod 1 mm longer." in shown.stdout
    assert cell["unit"] == "mm"
    expected = told()["rear springs: turn of the perch", "left"]["rear left height"]
    assert float(cell["change"]) == pytest.approx(expected * 1e3, rel=1e-5)
    assert json.loads(values.stdout)[0]["columns"] == ["now"]
