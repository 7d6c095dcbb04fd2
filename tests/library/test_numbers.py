"""The library's numbers are the commands' own, on cars of two layouts and on a job."""

from __future__ import annotations

import csv
import io
import json
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

import jounce
from jounce.behaviour.axle.context import car_context
from jounce.behaviour.axle.travel import travel_table
from jounce.car.mechanics.assembly import axle_model
from jounce.cli.app import commands
from jounce.conventions.units import Kind, column, to_si
from tests.behaviour.demo_layouts import DEMO

CARS = ("brisk-14.toml", "mallow-18.toml")
JOB = "brisk-14-lower.toml"
DRIVE = np.linspace(-0.03, 0.03, 7)


def said(*words):
    answered = CliRunner().invoke(commands, [str(word) for word in words])
    assert answered.exit_code in {0, 1}, answered.output
    return answered.stdout


def path(name):
    return Path(str(DEMO.joinpath(name)))


@cache
def car(name):
    return jounce.read_car(path(name))


@cache
def plan():
    return car("brisk-14.toml").plan(path(JOB))


@pytest.mark.parametrize("name", CARS)
def test_a_car_stands_as_the_command_tells(name):
    told, stands = json.loads(said("settle", path(name), "--json", "-")), car(name).as_found()
    widths = car(name).plus_minus()

    for a, axle in enumerate(("front", "rear")):
        assert stands["roll_stiffness"][a] == pytest.approx(told[axle]["roll_stiffness"], rel=1e-12)
        assert stands.axles[axle].roll_parts == pytest.approx(told[axle]["roll_parts"], rel=1e-12)
        for s, side in enumerate(("left", "right")):
            wheel = told[axle]["wheels"][side]
            for result in ("load", "sprung_mass", "wheel_rate", "one_wheel_rate", "ride_rate", "ride_frequency"):
                assert stands[result][a, s] == pytest.approx(wheel[result], rel=1e-12)
            band = told["bands"][f"{axle}.{side}.wheel_rate"]["plus_minus"]
            assert widths["wheel_rate"][a, s] == pytest.approx(band, rel=1e-12)
    assert stands["front_share"] == pytest.approx(told["front_share_of_roll_stiffness"], rel=1e-12)
    for place, stress in told["stress_pa"].items():
        axle, side = place.split()
        at = (("front", "rear").index(axle), ("left", "right").index(side))
        assert stands["torsion_bar_stress"][at] == pytest.approx(stress, rel=1e-12)


@pytest.mark.parametrize(("motion", "ends"), [("heave", (-30, 30)), ("roll", (-3, 3)), ("left", (-30, 30))])
@pytest.mark.parametrize("name", CARS)
def test_a_car_moves_as_the_command_tells(name, motion, ends):
    low, high = ends
    text = said(
        "travel",
        path(name),
        "--axle",
        "rear",
        "--motion",
        motion,
        "--from",
        low,
        "--to",
        high,
        "--step",
        high / 3,
        "--csv",
        "-",
    )
    drive = np.deg2rad(np.linspace(low, high, 7)) if motion == "roll" else DRIVE
    moved = car(name).travel("rear", motion, drive)
    assert_same_columns(text, moved)  # the file tells nine decimals; what it is made of tells all
    model, context = axle_model(car(name).case.car, "rear"), car_context(car(name).case.car, "rear")
    _, *columns = travel_table(model.stand, model.linkage, motion, drive, None, context).columns
    for one in columns:
        np.testing.assert_allclose(moved[one.name], one.values, rtol=1e-12, atol=1e-15)


def test_a_car_steers_as_the_command_tells():
    text = said(
        *(
            "travel",
            path("brisk-14.toml"),
            "--axle",
            "front",
            "--motion",
            "steer",
            "--from",
            -30,
            "--to",
            30,
            "--step",
            10,
        ),
        *("--also", "heave=20", "--csv", "-"),
    )
    assert_same_columns(text, car("brisk-14.toml").travel("front", "steer", DRIVE, heave=0.02))


def assert_same_columns(text, moved):
    head, *rows = csv.reader(io.StringIO(text))
    units = {column(name, moved.about(name).kind): name for name in moved}
    common = [(k, units[name]) for k, name in enumerate(head) if name in units]
    assert len(common) > 80
    for k, name in common:
        cells = np.array([float(row[k]) if row[k] else np.nan for row in rows])
        printed = 5e-10 * to_si(1.0, moved.about(name).kind)  # nine decimals
        np.testing.assert_allclose(moved[name], to_si(cells, moved.about(name).kind), rtol=1e-12, atol=1.01 * printed)


def test_a_job_is_planned_as_the_command_tells():
    told = json.loads(said("job", path(JOB), "--json", "-"))

    assert list(plan().rows) == list(told["quantities"])
    for key, row in plan().rows.items():
        one = told["quantities"][key]
        mine = (row.found, row.planned, row.difference, row.found_band, row.planned_band)
        its = ("found", "planned", "difference", "found_plus_minus", "planned_plus_minus")
        assert mine == tuple(
            one[name] if one[name] is None else pytest.approx(one[name], rel=1e-12, abs=1e-15) for name in its
        )
    assert [(one.code, one.verdict.value, one.sentence) for one in plan().checks] == [
        (one["code"], one["verdict"], one["sentence"]) for one in told["checks"]
    ]
    assert [one.moved for one in plan().what_else_moves] == [one["moved"] for one in told["knock_on"]]
    assert plan().worked.settings["rear"].rod.set_length == pytest.approx(
        told["settings"]["rear"]["rod"]["set_length"], rel=1e-12
    )


def test_a_plan_is_held_to_the_rules_of_a_file():
    rules = car("brisk-14.toml").plan(path(JOB), path("rules-example.toml"))
    mine = {check.code for check in rules.checks}

    assert {code for code in mine if code.startswith("RUL-")}
    assert {check.code for check in plan().checks} == {code for code in mine if not code.startswith("RUL-")}


def test_the_planned_car_stands_as_the_rows_tell():
    stands = plan().as_planned()

    for key, row in plan().rows.items():
        *place, name = key.split(".")
        if name in stands and row.planned is not None:
            at = tuple({"front": 0, "rear": 1, "left": 0, "right": 1}[one] for one in place)
            assert stands[name][at] == pytest.approx(row.planned, rel=1e-12, abs=1e-15)
    assert plan().plus_minus()["load"][0, 0] == pytest.approx(plan().rows["front.left.load"].planned_band, rel=1e-12)


def test_the_planned_car_moves_from_where_it_stands():
    moved, stands = plan().travel("rear", "heave", [0.0, 0.01]), plan().as_planned()

    assert moved["left_wheel_rate"][0] == pytest.approx(stands["wheel_rate"][1, 0], rel=1e-12)
    assert moved["left_travel"][0] == pytest.approx(0.035, abs=0.001)
    assert np.diff(moved["left_travel"]) == pytest.approx(0.01, rel=1e-9)


def test_a_question_is_answered_as_the_command_answers_it():
    told = json.loads(said("brake", path("mallow-18.toml"), "--at=-0.5", "--json", "-"))
    its = {row["name"]: row["values"] for one in told for row in one["rows"]}
    mine = {
        row.name: list(row.values) for one in car("mallow-18.toml").ask("brake", at="-0.5 g").tables for row in one.rows
    }

    assert len(mine) > 5
    assert list(mine) == list(its)
    for name, values in mine.items():
        assert [
            v if v is None or isinstance(v, str) else pytest.approx(v, rel=1e-12, abs=1e-15) for v in values
        ] == its[name]


def test_a_part_is_asked_as_the_command_asks_it():
    told = json.loads(said("bar", "--diameter", "22.5", "--length", "950", "--splines-arm", "40", "--json", "-"))
    its = [row for one in (told if isinstance(told, list) else [told]) for row in one["rows"]]
    mine = jounce.ask("bar", diameter="22.5 mm", length="950 mm", splines_arm=40)

    assert [(row.name, list(row.values)) for one in mine.tables for row in one.rows] == [
        (row["name"], row["values"]) for row in its
    ]


def test_a_quantity_is_shown_in_the_units_of_a_workshop():
    stands = car("brisk-14.toml").as_found()

    assert stands.unit("wheel_rate") == "N/m"
    assert stands.about("wheel_rate").kind is Kind.SPRING_RATE
    assert stands.shown("height")[0, 0] == pytest.approx(345)
    assert stands.shown("height", "inch")[0, 0] == pytest.approx(345 / 25.4)
    assert stands.unit("front_share") == "1"
