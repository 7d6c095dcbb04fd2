"""What a car does at its limits is checked: tipping, the end that goes first, rubbers, locking, people aboard."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.behaviour.axle.reach import stops_met
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.locking import locking
from jounce.behaviour.road.of_document import car_as_found
from jounce.behaviour.road.to_limit import both_turns, to_limits
from jounce.car.file.reading import read_car
from jounce.checks import Verdict
from jounce.checks.braking import brake_check
from jounce.checks.driven import Driven, driven
from jounce.checks.laden import laden_checks
from jounce.checks.limits import LIMITS, USUAL, CheckLimits
from jounce.checks.travel import travel_checks
from jounce.checks.turning import turn_checks
from jounce.conventions.constants import GRAVITY
from tests.job.changed_jobs import worked

BRISK = LIMITS["brisk"].value
LAW = 'lateral = "example 1987"\ngrip = { value = 0.95, from = "estimate: an example tyre stands for this one" }'


def document(name):
    return read_car(Path(str(files("jounce.demo").joinpath(f"{name}.toml"))))


@cache
def as_found(name):
    car = car_as_found(document(name))
    both = both_turns(car)
    return Driven(car, BRISK, both, to_limits(car, BRISK, both), locking(car), ())


def of(checks, code):
    return [check for check in checks if check.code == code]


@pytest.mark.parametrize(
    ("name", "verdict", "said"),
    [
        ("bracken-16", Verdict.FAIL, "tips over at 0.93 g in the right turn"),
        ("sorrel-21", Verdict.FAIL, "jacks up at 0.77 g in the right turn"),
        ("mallow-18", Verdict.PASS, "tips over at 1.05 g in the right turn"),
    ],
)
def test_a_car_that_tips_over_or_jacks_up_before_it_slides_fails(name, verdict, said):
    (check,) = of(turn_checks(as_found(name), USUAL), "TIP-01")

    assert check.verdict is verdict
    assert said in check.sentence
    assert check.critical
    assert check.limit == pytest.approx(1.1 * 0.9 * GRAVITY)


def test_a_rear_that_goes_first_at_the_limit_fails_though_it_keeps_back_in_a_brisk_turn():
    """Rear tyres of 2 % less grip still give after the front ones at 0.6 g, and before them at the limit."""
    worse = LAW.replace("0.95", "0.934")
    checks = worked((), ((f"{LAW}\n\n[rear.panhard]", f"{worse}\n\n[rear.panhard]"),))
    before = worked()

    assert [before.checks(code)[0].verdict for code in ("GRP-01", "GRP-02")] == [Verdict.PASS, Verdict.PASS]
    assert before.checks("GRP-02")[0].sentence.startswith("the front, which runs wide, at 0.88 g")
    assert checks.checks("GRP-02")[0].verdict is Verdict.FAIL
    assert checks.checks("GRP-02")[0].sentence.startswith("the rear, which comes round")


@pytest.mark.parametrize("name", ["brisk-14", "sorrel-21"])
def test_a_rubber_is_met_where_the_turn_is_said_to_press_it(name):
    car = as_found(name).car
    for turn, told in zip((1.0, -1.0), as_found(name).turns, strict=True):
        for axle, size in told.rubbers.items():
            if size is None:
                continue
            rest = at_rest(car, steady(turn * size))
            k, outer = car.names.index(axle), "right" if turn > 0 else "left"
            left, right = (float(x) for x in rest.travel[0, k])
            met = stops_met(car.axles[k].axle, (left, right), car.axles[k].settings, moving=(outer,))
            rubber = next(one for one in met if one.name == "bump rubber touches")
            assert rubber.travel < 0.4e-3  # read between states 0.05 g apart


def test_a_rubber_that_is_met_in_ordinary_bends_fails():
    low = replace(USUAL, own={"least_rubber_turn": (0.36 * GRAVITY, "a test")})
    front, rear = of(turn_checks(as_found("brisk-14"), low), "RUB-01")

    assert (front.verdict, rear.verdict) == (Verdict.FAIL, Verdict.FAIL)
    assert front.sentence.startswith("from 0.35 g in the right turn")


def test_the_rear_asks_for_more_of_its_load_from_where_a_rigid_car_s_does():
    """Hand formula of a car without suspension: braking = (front share · wheelbase - rear load · wheelbase) / height."""
    car = as_found("brisk-14").car
    load = at_rest(car, steady()).acted.load[0].sum(axis=1)
    for share in (0.70, 0.75, 0.78):
        told = locking(replace(car, driveline=replace(car.driveline, brake_front_share=share)))
        by_hand = (share - load[0] / load.sum()) * 2.380 / 0.520 * GRAVITY
        assert told.rear_asks_more == pytest.approx(by_hand, rel=0.06)  # the body dives a few mm
        assert told.first == "rear"
        assert told.at < 0.9 * GRAVITY
    even = locking(car).even
    assert even == pytest.approx(load[0] / load.sum() + 0.9 * 0.520 / 2.380, rel=0.01)
    both = locking(replace(car, driveline=replace(car.driveline, brake_front_share=even)))
    assert both.at == pytest.approx(0.9 * GRAVITY, rel=2e-3)  # read between states 0.05 g apart


def test_brakes_that_lock_the_rear_first_fail_and_brakes_that_nobody_told_are_unknown():
    drive = as_found("brisk-14")
    assert brake_check(drive, USUAL).verdict is Verdict.PASS

    car = replace(drive.car, driveline=replace(drive.car.driveline, brake_front_share=0.72))
    behind = replace(drive, car=car, locking=locking(car))
    check = brake_check(behind, USUAL)
    assert check.verdict is Verdict.FAIL
    assert "from 0.50 g on" in check.sentence
    unknown = brake_check(as_found("mallow-18"), USUAL)
    assert unknown.verdict is Verdict.UNKNOWN
    assert "a front share of 72 % would lock both axles together" in unknown.sentence


def test_people_and_luggage_take_travel_and_clearance_by_the_springs_of_the_car():
    job = worked()
    drive = driven(job.planned, job.plan, BRISK)
    by = {(check.code, check.question): check for check in laden_checks(job.planned, drive, USUAL)}
    clearance = next(check for (code, _), check in by.items() if code == "LDN-02")
    last, stands = drive.laden[-1], at_rest(drive.car, steady())
    more = sum(load.mass for load in last.loads)
    loaded = at_rest(drive.car.with_loads(last.loads), steady()).acted.load.sum() - stands.acted.load.sum()

    assert more == pytest.approx(190)
    assert loaded == pytest.approx(more * GRAVITY, rel=1e-9)
    assert clearance.value == pytest.approx(0.155 - last.travel.max())
    assert {check.verdict for check in by.values()} == {Verdict.PASS}
    assert [load.name for one in drive.laden for load in one.loads] == [
        *("passenger",),
        *("passenger", "rear_seat"),
        *("passenger", "rear_seat", "boot"),
    ]


def test_a_heavier_rear_seat_puts_the_car_on_its_rubbers_and_no_places_are_unknown():
    seat = (("at = [-1850, 0, 480]\nmass = 75", "at = [-1850, 0, 480]\nmass = 150"),)
    front, rear = worked((), seat).checks("LDN-01")
    assert (front.verdict, rear.verdict) == (Verdict.PASS, Verdict.FAIL)
    assert "rear seat 150 kg" in rear.sentence

    text = document("bracken-16")
    assert not text.places
    checks = list(laden_checks(text, as_found("bracken-16"), USUAL))
    assert {check.verdict for check in checks} == {Verdict.UNKNOWN}


@pytest.mark.parametrize("share", [1 - 1e-9, 1 + 1e-9])
def test_half_of_the_bump_travel_is_kept_or_the_check_fails(share):
    plan = worked().plan
    usual = next(check for check in travel_checks("front", plan, USUAL) if check.code == "TRV-06")
    held = CheckLimits({"least_bump_kept": (usual.value * share, "a test")})
    check = next(check for check in travel_checks("front", plan, held) if check.code == "TRV-06")
    assert check.verdict is (Verdict.PASS if share < 1 else Verdict.FAIL)


def test_bump_travel_that_is_lost_fails_though_droop_makes_up_for_it():
    """45 mm lower on dampers and rubbers as they were: 70 % of the travel in all are kept, a third of the bump travel."""
    rubber = "[change.front.bump_stop]\nfree_height = 52\ncurve = [[0, 0], [15, 400], [30, 1500], [40, 4000]]\n"
    plan = worked(
        (
            ("[wanted.front]\nlower = 35", "[wanted.front]\nlower = 45"),
            ("closed_length = 330", "closed_length = 370"),
            (rubber, ""),
        )
    ).plan
    checks = {check.code: check for check in travel_checks("front", plan, USUAL)}

    assert checks["TRV-03"].verdict is Verdict.PASS
    assert checks["TRV-06"].verdict is Verdict.FAIL
    assert checks["TRV-06"].value == pytest.approx(22.4 / 67.2, abs=0.05)


def test_the_end_of_grip_lies_where_a_sweep_has_it():
    drive = as_found("brisk-14")
    for turn in drive.turns:
        assert turn.grip is not None
        assert np.all(turn.grip.used <= 1 + 1e-9)
        assert turn.grip.used.max() == pytest.approx(1.0, abs=1e-6)
