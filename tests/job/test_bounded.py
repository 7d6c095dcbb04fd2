"""Wishes beyond what the adjusters give: the least bad that they do give, against a bounded search over whole cars."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import least_squares, root
from typer.testing import CliRunner

from jounce.behaviour.axle.travel import states_table
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.static_car import settle
from jounce.checks import Verdict
from jounce.cli import app as cli_app
from jounce.conventions.axes import CORNERS
from jounce.conventions.units import DEG, MM
from jounce.job.apply import planned_document, wishes_of
from jounce.job.file import parse_job, read_job
from jounce.job.plan import make_plan, value_of
from jounce.job.slot_range import SlotRange
from jounce.job.wording import settings_of
from tests.job.changed_jobs import DEMO, Worked, worked
from tests.reference.whole_car import car_on_tyres
from tests.reference.whole_car import settle as settled_by_multipliers

SLOTS = ("reach_outward = 10", "reach_outward = 10\nreach_fore = 8\nreach_rear = 12")
CAMBER = (("camber = -1.0", "camber = -3.0"),)
BOTH = (SLOTS, ("camber = -1.0", "camber = -2.5\ncaster = 5.5"))
CASTER_ALONE = (SLOTS, ("camber = -1.0", "camber = -1.0\ncaster = 5.5"))
STEPS = (("reach_outward = 10", "reach_outward = 10\nstep = 3"),)
SIDES = ("left", "right")


WEIGHT = {"toe": 1e4}
"""Toe comes before the others: a tie rod always sets it, and nobody gives it up for a little camber."""


def read_with(one: Worked, values: Mapping[str, float]) -> dict[str, float]:
    """Front angles of the whole car let down with joints put by hand [rad]."""
    planned = one.plan.planned
    states = planned.states["front"]
    joints = {**planned.states["rear"].settings, **states.settings, **values}
    sits = settle(car_of(one.planned, *planned.models, joints), planned.sits.travel)
    own = {name: value for name, value in joints.items() if name.startswith("front.")}
    at = type(states)(
        left=sits.travel["front", "left"],
        right=sits.travel["front", "right"],
        settings=own,
        attitude=(sits.pitch, sits.roll),
    )
    table = states_table(planned.models[0].stand, planned.models[0].linkage, at, (1.0, 1.0))
    return {column.name: float(column.values[0]) for column in table.columns}


def searched(one: Worked, wanted: Mapping[str, float]) -> dict[str, float]:
    """Plates within their slots, and tie rods, that leave the least sum of squares of all misses of whole cars."""
    model = one.plan.planned.models[0]
    names = [f"front.{side}.{joint}" for side in SIDES for joint in ("top_plate_y", "top_plate_x", "tie_rod")]
    if "caster" not in wanted:
        names = [name for name in names if not name.endswith("_x")]
    found = np.array([float(model.stand.reference_values([name])[0, 0]) for name in names])
    ends = {"top_plate_y": (-10 * MM, 10 * MM), "top_plate_x": (-12 * MM, 8 * MM), "tie_rod": (-20 * MM, 20 * MM)}
    low, high = np.array([ends[name.rpartition(".")[2]] for name in names]).T

    def misses(more: np.ndarray) -> np.ndarray:
        told = read_with(one, dict(zip(names, found + more, strict=True)))
        return (
            np.array(
                [
                    WEIGHT.get(angle, 1.0) * (told[f"{side}_{angle}"] - aim)
                    for side in SIDES
                    for angle, aim in wanted.items()
                ]
            )
            / DEG
        )

    best = least_squares(misses, np.zeros(len(names)), bounds=(low, high), xtol=1e-12, ftol=1e-14, x_scale=MM)
    return dict(zip(names, best.x, strict=True)) | {"cost": float(np.sum(misses(best.x) ** 2))}


@pytest.mark.sweep(1)
@pytest.mark.parametrize(
    ("job", "wanted"),
    [
        (CAMBER, {"camber": -3 * DEG, "toe": 0.0}),
        (BOTH, {"camber": -2.5 * DEG, "toe": 0.0, "caster": 5.5 * DEG}),
    ],
)
def test_what_is_beyond_the_slots_is_missed_by_no_more_than_the_best_of_a_bounded_search(job, wanted):
    one = worked(job)
    best = searched(one, wanted)
    geometry, wheels = one.plan.planned.geometry["front"], one.plan.settings["front"].wheels
    cost = sum(
        (value_of(geometry, f"{side}_{angle}") - aim) ** 2 for side in SIDES for angle, aim in wanted.items()
    ) / (DEG * DEG)

    assert cost == pytest.approx(best["cost"], rel=1e-6)
    for side, sense in (("left", -1.0), ("right", 1.0)):
        assert sense * wheels[side].plate_inward == pytest.approx(best[f"front.{side}.top_plate_y"], abs=2e-6)
        assert wheels[side].tie_rod == pytest.approx(best[f"front.{side}.tie_rod"], abs=2e-6)


def test_the_other_angles_are_reached_all_the_same():
    geometry = worked(CASTER_ALONE).plan.planned.geometry["front"]
    wheels = worked(CASTER_ALONE).plan.settings["front"].wheels
    for side in SIDES:
        assert wheels[side].plate_rearward == 12 * MM
        assert value_of(geometry, f"{side}_camber") == pytest.approx(-1.0 * DEG, abs=1e-10)
        assert value_of(geometry, f"{side}_toe") == pytest.approx(0.0, abs=1e-10)
        assert value_of(geometry, f"{side}_caster") < 5.5 * DEG


@pytest.mark.parametrize(("job", "camber"), [(CAMBER, -3.0), (CASTER_ALONE, -1.0), (BOTH, -2.5)])
def test_what_would_be_needed_gives_what_was_wanted_with_the_toe_reset_by_hand(job, camber):
    """The car held as it stands, its plates put where they would have to be, each tie rod sought until the toe is right."""
    planned, wheels = worked(job).plan.planned, worked(job).plan.settings["front"].wheels
    model, standing = planned.models[0], planned.states["front"]

    def read(rods: np.ndarray) -> dict[str, float]:
        put = {f"front.{side}.tie_rod": rod for side, rod in zip(SIDES, rods, strict=True)}
        for side, sense in (("left", -1.0), ("right", 1.0)):
            put[f"front.{side}.top_plate_y"] = sense * wheels[side].inward_needed
            put[f"front.{side}.top_plate_x"] = -wheels[side].rearward_needed
        table = states_table(model.stand, model.linkage, replace(standing, settings=put), (1.0, 1.0))
        return {column.name: float(column.values[0]) for column in table.columns}

    start = [standing.settings[f"front.{side}.tie_rod"] for side in SIDES]
    rods = root(lambda rods: [read(rods)[f"{side}_toe"] for side in SIDES], start, tol=1e-12).x
    for side in SIDES:
        assert read(rods)[f"{side}_camber"] == pytest.approx(camber * DEG, abs=1e-9)
        if job is not CAMBER:
            assert read(rods)[f"{side}_caster"] == pytest.approx(5.5 * DEG, abs=1e-9)


@pytest.mark.parametrize("job", [CAMBER, BOTH, CASTER_ALONE, STEPS])
def test_the_held_car_rests_where_a_second_method_puts_it(job):
    """All bodies of both axles as one mechanism, brought to rest by multipliers."""
    one = worked(job)
    planned = one.plan.planned
    joints = {name: value for state in planned.states.values() for name, value in (state.settings or {}).items()}
    whole = car_on_tyres(*planned.models, one.car.mass.centre_of_gravity_height.value)
    elements = {**planned.models[0].elements, **planned.models[1].elements}
    other = settled_by_multipliers(whole, elements, joints, planned.sits.travel)

    for corner in CORNERS:
        assert planned.sits.travel[corner] == pytest.approx(other.travel[corner], abs=1e-9)


def test_slots_that_are_long_enough_change_nothing():
    """The same numbers with ends, with other ends, and with none."""
    plans = [
        worked(edits).plan
        for edits in (
            (),
            (("reach_inward = 10\nreach_outward = 10", ""),),
            (("reach_inward = 10", "reach_inward = 3.5"),),
        )
    ]
    for plan in plans[1:]:
        for corner in CORNERS:
            assert plan.planned.sits.travel[corner] == pytest.approx(plans[0].planned.sits.travel[corner], abs=1e-12)
        for side in SIDES:
            one, first = (each.settings["front"].wheels[side] for each in (plan, plans[0]))
            assert one.plate_inward == one.inward_needed == pytest.approx(first.plate_inward, abs=1e-12)
            assert one.tie_rod == pytest.approx(first.tie_rod, abs=1e-12)
        assert not plan.short


def test_a_plate_in_steps_stands_on_the_nearest_one_and_the_toe_is_set_with_it():
    plan, exact = worked(STEPS).plan, worked().plan
    for side in SIDES:
        wheel, free = (each.settings["front"].wheels[side] for each in (plan, exact))
        assert wheel.plate_inward == round(free.plate_inward / (3 * MM)) * 3 * MM
        assert value_of(plan.planned.geometry["front"], f"{side}_toe") == pytest.approx(0.0, abs=1e-10)
    assert not plan.short
    assert {check.verdict for check in worked(STEPS).checks("ALN-01")} == {Verdict.PASS}


def test_a_step_is_taken_within_the_ends():
    slots = SlotRange(inward=8 * MM, outward=1 * MM, rear=6 * MM, step=3 * MM)

    assert slots.on_step("camber", 7.9 * MM) == pytest.approx(6 * MM)
    assert slots.on_step("camber", -1 * MM) == pytest.approx(0.0)
    assert slots.on_step("caster", 6 * MM) == pytest.approx(6 * MM)
    assert slots.on_step("caster", -40 * MM) == pytest.approx(-39 * MM)  # nobody told how far forward it goes
    assert slots.end_before("caster", -40 * MM) is None
    assert slots.end_before("camber", -2 * MM) == pytest.approx(-1 * MM)


SHORT_THREAD = (("lowest = -10\nhighest = 40", "lowest = -4\nhighest = 40"),)
SHORT_ROD = (("longest = 865", "longest = 842"),)


def test_a_seat_at_the_end_of_its_thread_tells_the_height_reached_and_the_seat_needed():
    one = worked(SHORT_THREAD)
    seats = one.plan.settings["rear"].seats
    told = {side: [lack for lack in one.plan.short if lack.side == side] for side in SIDES}
    assert {side: [lack.wish for lack in lacks] for side, lacks in told.items()} == {
        "left": [],
        "right": ["height", "cross weight"],
    }
    height, cross = told["right"]

    assert height.set == cross.set == seats["right"].seat == -4 * MM
    # Either seat alone sets the other's corner too: what the right one lacks is what it would be with a longer thread.
    assert height.needed == pytest.approx(worked().plan.settings["rear"].seats["right"].wanted, abs=1e-9)
    stands = one.car.heights.rear_right.value - one.plan.planned.sits.travel["rear", "right"]
    assert height.reached == pytest.approx(stands, abs=1e-12)
    assert height.wanted == pytest.approx(one.car.heights.rear_right.value - 35 * MM, abs=1e-12)
    assert (cross.wanted, cross.reached) == (0.5, one.plan.planned.sits.cross_share)


def test_a_rod_at_its_end_tells_where_the_axle_stands_and_the_length_needed():
    plan = worked(SHORT_ROD).plan
    (lack,) = [one for one in plan.short if one.wish == "middle of the axle"]

    assert plan.settings["rear"].rod.set_length <= 842 * MM
    assert lack.needed == plan.settings["rear"].rod.centring_length > 842 * MM
    assert lack.reached == pytest.approx(value_of(plan.planned.geometry["rear"], "axle_shift"), abs=1e-15)
    assert "axle is then in the middle" not in " ".join(settings_of(plan, "metric"))


@pytest.mark.parametrize(
    ("job", "code", "words"),
    [
        (CAMBER, "PLT-01", "camber wanted -3.00 deg, reached -1.65 deg: the top plate ends at 10.0 mm inward; 24.1 mm"),
        (CASTER_ALONE, "PLT-02", "the top plate ends at 12.0 mm rearward;"),
        (SHORT_THREAD, "PER-01", "the spring seat ends at -4.0 mm; -6."),
        (SHORT_ROD, "PAN-01", "the Panhard rod ends at 84"),
    ],
)
def test_check_and_settings_say_it_in_the_same_words(job, code, words):
    one = worked(job)
    checks = [check for check in one.checks(code) if check.verdict is Verdict.FAIL]

    assert checks
    assert any(words in check.sentence for check in checks)
    steps = " ".join(settings_of(one.plan, "metric"))
    assert all(check.sentence[1:] in steps for check in checks)


def test_the_command_tells_it_in_words_and_for_programs(tmp_path):
    for name in ("brisk-14.toml", "brisk-14-lower.toml"):
        text = DEMO.joinpath(name).read_text("utf-8").replace("camber = -1.0", "camber = -3.0")
        (tmp_path / name).write_text(text, "utf-8")
    job = str(tmp_path / "brisk-14-lower.toml")
    told = CliRunner().invoke(cli_app.commands, ["job", job])
    values = json.loads(CliRunner().invoke(cli_app.commands, ["job", job, "--json", "-"]).output)

    assert told.exit_code == 1
    assert "24.1 mm inward would be needed" in " ".join(told.output.split())
    left = values["falls_short"][0]
    assert (left["axle"], left["side"], left["wish"], left["kind"]) == ("front", "left", "camber", "angle")
    assert left["wanted"] == pytest.approx(math.radians(-3.0))
    assert left["set"] == pytest.approx(10 * MM)
    assert left["needed"] == pytest.approx(24.07 * MM, abs=0.01 * MM)


def test_a_bolt_at_its_end_tells_how_many_turns_would_be_needed():
    """What the teeth and the bolt leave of the turn wanted, over the turn of the anchor that one turn of the bolt gives."""
    adjuster = "[change.front.torsion_bar.adjuster]\npitch = 1.5\nlever = 60\nturns_up = 0\nturns_down = 0\n"
    one = worked((("[change.front.damper]", f"{adjuster}\n[change.front.damper]"),))
    bars = one.plan.settings["front"].bars
    told = {lack.side: lack for lack in one.plan.short if lack.part == "adjusting bolt"}
    left_over = {side: (bar.index.wanted - bar.index.reached) / math.atan2(1.5, 60) for side, bar in bars.items()}

    assert told.keys() == {side for side, turns in left_over.items() if abs(turns) > 1 / 8}
    assert told
    for side, lack in told.items():
        assert (lack.set, lack.needed) == (0.0, pytest.approx(left_over[side], rel=1e-12))
        assert "turns" in next(line for line in settings_of(one.plan, "metric") if f"{side} front torsion bar" in line)


def test_an_upper_joint_far_from_both_angles_is_put_to_the_end_that_its_camber_asks_for():
    """With the caster that is wanted its camber would ask for the other end: the caster's joint stays at its own."""
    slots = "reach_inward = 8\nreach_outward = 8"
    short = "\n".join(f"reach_{way} = 0.6" for way in ("inward", "outward", "fore", "rear"))
    text = DEMO.joinpath("bracken-16-lower.toml").read_text("utf-8")
    for old, new in ((slots, short), ("camber = -0.5", "camber = -2.5\ncaster = 5")):
        assert old in text
        text = text.replace(old, new)
    _, car = read_job(Path(str(DEMO.joinpath("bracken-16-lower.toml"))))
    job = parse_job(text, "")
    plan = make_plan(car, planned_document(car, job), wishes_of(car, job))

    for side in SIDES:
        assert plan.settings["front"].wheels[side].plate_inward == pytest.approx(0.6 * MM)
        assert plan.settings["front"].wheels[side].plate_rearward == pytest.approx(0.6 * MM)
        assert value_of(plan.planned.geometry["front"], f"{side}_toe") == pytest.approx(0.05 * DEG, abs=1e-10)
