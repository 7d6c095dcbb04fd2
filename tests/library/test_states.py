"""Axles in lists of states: from arrays, from files, with rods and plates adjusted; refused in words."""

from __future__ import annotations

import numpy as np
import pytest

import jounce
from tests.library.test_numbers import JOB, car, path, plan

BRISK = "brisk-14.toml"


def test_a_file_of_states_is_the_same_as_its_arrays(tmp_path):
    file = tmp_path / "states.csv"
    file.write_text("heave_mm, roll_deg,rack_in\n10,1,0.1\n-20,-2,0\n", "utf-8")
    read = car(BRISK).at("front", file)
    given = car(BRISK).at("front", {"heave": [0.01, -0.02], "roll": np.deg2rad([1, -2]), "rack": [0.00254, 0]})

    assert list(read)[:3] == ["heave", "roll", "rack"]
    assert list(read) == list(given)
    for name in read:
        np.testing.assert_allclose(read[name], given[name], rtol=1e-12)
    assert read["left_camber"][0] != pytest.approx(read["left_camber"][1])


def test_without_anything_it_stands_where_it_stands():
    stands, put = car(BRISK).as_found(), car(BRISK).at("rear", {})

    assert put["left_load"] == pytest.approx(stands["load"][1, :1])


def test_a_longer_panhard_rod_pushes_the_axle_away_from_its_body_side():
    rod = car(BRISK).travel("rear", "panhard", [-0.002, 0.0, 0.002])
    rod_as_found = car(BRISK).case.car.rear.panhard

    towards_left = np.sign(rod_as_found.axle_end.xyz[1] - rod_as_found.body_end.xyz[1])
    assert np.sign(np.diff(rod["axle_shift"])) == pytest.approx(2 * [towards_left])
    assert rod["axle_shift"][1] == pytest.approx(0, abs=1e-12)


def test_plates_and_tie_rods_do_what_their_names_say():
    front = car(BRISK)
    inward = front.travel("front", "left_top_plate_inward", [0.0, 0.002])
    rearward = front.travel("front", "left_top_plate_rearward", [0.0, 0.002])
    longer = front.at("front", {"left_tie_rod": [0.0, 0.002], "heave": 0.01})

    assert inward["left_camber"][1] < inward["left_camber"][0]
    assert inward["right_camber"][1] == pytest.approx(inward["right_camber"][0])
    assert rearward["left_caster"][1] > rearward["left_caster"][0]
    assert longer["left_toe"][1] != pytest.approx(longer["left_toe"][0], abs=1e-3)
    assert longer["left_travel"] == pytest.approx([0.01, 0.01])


def test_the_planned_car_is_adjusted_from_its_own_settings():
    rod, found = plan().travel("rear", "panhard", [0.0, 0.001]), car(BRISK).travel("rear", "panhard", [0.0, 0.001])

    assert rod["axle_shift"][0] == pytest.approx(plan().as_planned()["axle_shift"][1], abs=1e-15)
    assert abs(rod["axle_shift"][0]) < 1e-3
    assert np.diff(rod["axle_shift"]) == pytest.approx(np.diff(found["axle_shift"]), rel=0.05)


def test_a_drop_link_twists_its_bar():
    link = car(BRISK).travel("front", "left_roll_bar_link", [0.0, 0.005])

    assert link["roll_bar_torque"][0] == pytest.approx(0, abs=1e-9)
    assert abs(link["roll_bar_torque"][1]) > 1
    assert link["left_load"][1] != pytest.approx(link["left_load"][0], abs=1)


def test_states_out_of_reach_are_told_and_hold_no_number():
    far = car(BRISK).travel("front", "heave", [0.0, 1.0])

    assert far.reached.tolist() == [True, False]
    assert far.reason
    assert np.isnan(far["left_camber"][1])
    assert np.isnan(far["left_wheel_rate"][1])


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (lambda c: c.travel("middle", "heave", [0]), "'middle'; allowed: front, rear"),
        (lambda c: c.travel("rear", "steer", [0]), "The rear axle has no steering"),
        (
            lambda c: c.travel("rear", "rack", [0]),
            "cannot be driven or adjusted on this axle; found rack; allowed: heave",
        ),
        (lambda c: c.travel("front", "heave", [0], heave=1), "own drive is not held too; found heave"),
        (lambda c: c.travel("front", "heave", [0], left=0.01), "not both; found heave and left"),
        (lambda c: c.travel("front", "heave", ["ten"]), "are numbers; found heave of shape"),
        (lambda c: c.travel("front", "heave", []), "are numbers"),
        (lambda c: c.travel("front", "heave", [0, float("nan")]), "are numbers"),
        (lambda c: c.at("front", {"heave": [0, 1], "roll": [0, 1, 2]}), "all lists equally long"),
        (lambda c: c.at("front", {"heave": 0}, "yaw"), "no such motion; found 'yaw'; allowed: heave, roll"),
        (lambda c: c.at("front", "no-such.csv"), "no-such.csv"),
        (lambda c: c.ask("weather"), "no such question; found 'weather'; allowed: "),
        (lambda c: c.ask("corner", where=1), "does not ask for this; found where; allowed: at, across"),
        (lambda c: c.ask("corner", across=1000), "across is out of range; found 101.97 g; allowed:"),
        (lambda c: c.ask("corner", across="6 mm"), "across: "),
        (lambda c: c.ask("ride", road="Z"), 'road does not know this word; found "Z"'),
        (lambda c: c.ask("corner", across=[1, 2]), "across takes one value; found [1, 2]"),
        (lambda _: jounce.ask("corner"), "found 'corner'; allowed: bar, coil"),
        (lambda _: jounce.ask("bar", splines_arm="four"), "splines_arm: This is not a ratio; found 'four'"),
        (lambda c: c.travel("front", "heave", [0])["left_cambre"], "Did you mean 'left_camber'"),
        (lambda c: c.as_found().unit("colour"), "no such result of Brisk 14, as found; found 'colour'"),
        (lambda c: c.as_found().shown("load", "stone"), "Unknown set of units; found 'stone'"),
    ],
)
def test_what_cannot_be_is_refused_in_words(asked, words):
    with pytest.raises(jounce.InputError) as refused:
        asked(car(BRISK))

    assert words in str(refused.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line 1: The first row names a drive and its unit for each column, each drive once; found nothing"),
        ("heave\n1\n", "found heave; allowed: heave_mm, left_mm, right_mm, roll_deg, rack_mm"),
        ("heave_mm,heave_in\n1,2\n", "each drive once"),
        ("heave_mm,roll_deg\n1\n", "state 1, roll_deg: This is no number; found nothing"),
        ("heave_mm\n1\nup\n", "state 2, heave_mm: This is no number; found 'up'"),
        ("heave_mm\n", "What an axle is given are numbers"),
    ],
)
def test_a_file_that_cannot_be_is_refused_with_its_place(tmp_path, text, words):
    (tmp_path / "states.csv").write_text(text, "utf-8")
    with pytest.raises(jounce.InputError) as refused:
        car(BRISK).at("front", tmp_path / "states.csv")

    assert words in str(refused.value)


def test_a_plan_that_cannot_be_is_told_in_words(tmp_path):
    for name in ("brisk-14.toml", "brisk-14-lower.toml"):
        text = path(name).read_text("utf-8").replace("lower = 35", "lower = 150")
        (tmp_path / name).write_text(text, "utf-8")
    job = jounce.read_job(tmp_path / "brisk-14-lower.toml")
    with pytest.raises(jounce.Impossible, match="cannot be lowered by 150"):
        job.car.plan(job)


def test_a_job_for_another_layout_is_refused():
    with pytest.raises(jounce.InputError, match="brisk-14-lower"):
        car("mallow-18.toml").plan(path(JOB))
