"""`jounce travel`: combined motions, chosen quantities, the table of quantities, refusals."""

from __future__ import annotations

import csv
import io
from importlib.resources import as_file

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.conventions.errors import InputError
from jounce.conventions.quantities import QUANTITIES
from tests.behaviour.demo_layouts import DEMO
from tests.behaviour.test_motions import BOX

RUNNER = CliRunner()


def call(*options, car="brisk-14.toml", axle="front", motion="heave", sweep=(-20, 20, 20)):
    start, end, step = map(str, sweep)
    with as_file(DEMO.joinpath(car)) as path:
        words = ["travel", str(path), "--axle", axle, "--motion", motion, "--from", start, "--to", end, "--step", step]
        return RUNNER.invoke(commands, [*words, *options])


def rows(result):
    return list(csv.DictReader(io.StringIO(result.stdout)))


def test_the_list_holds_every_quantity_and_needs_no_car():
    shown = RUNNER.invoke(commands, ["travel", "--list"])

    assert shown.exit_code == 0
    assert [name for name in QUANTITIES if f"  {name} [" not in shown.stdout] == []


def test_chosen_quantities_come_in_their_order_for_both_wheels():
    shown = call("--quantities", "track, camber,left_toe", "--csv", "-")

    assert shown.stdout.splitlines()[0] == "heave_mm,track_mm,left_camber_deg,right_camber_deg,left_toe_deg"
    assert len(rows(shown)) == 3


def test_chosen_quantities_are_shown_in_columns_with_their_units():
    shown = call("--quantities", "left_front_view_centre_z,bump_steer", motion="left").stdout.splitlines()

    assert shown[1].split() == ["left", "left", "right"]
    assert shown[6].split() == ["mm", "deg/mm", "deg/mm"]
    assert [len(line.split()) for line in shown[7:10]] == [4, 4, 4]  # the right wheel stands still: no ratio


def test_the_few_columns_fit_the_screen():
    lines = call().stdout.splitlines()

    assert max(map(len, lines)) <= 80
    assert lines[1].split()[:3] == ["travel", "camber", "toe"]
    assert any(line.startswith("- bump from as found: ") for line in lines)


def test_a_single_wheel_has_its_own_stops():
    lines = call(motion="right").stdout.splitlines()

    stops = " ".join(line for line in lines if "from as found" in line or line.startswith("  "))
    assert "bump of the right wheel from as found: " in stops
    assert "right" in stops
    assert " left " not in stops


def test_other_drives_are_held():
    held = rows(call("--also", "roll=1.5", "--also", "rack=0.5 in", "--csv", "-"))
    plain = rows(call("--csv", "-"))

    assert [row["heave_mm"] for row in held] == [row["heave_mm"] for row in plain]
    assert {row["rack_travel_mm"] for row in held} == {"12.700000000"}
    assert all(float(h["right_travel_mm"]) > float(h["left_travel_mm"]) + 20 for h in held)


def test_a_steering_box_counts_in_degrees():
    shown = call("--csv", "-", car=BOX[0], axle=BOX[1], motion="steer", sweep=(-5, 5, 5))

    assert [row["pitman_deg"] for row in rows(shown)] == ["-5.000000000", "0.000000000", "5.000000000"]


@pytest.mark.parametrize(
    ("options", "more", "message"),
    [
        (["--quantities", "camer"], {}, "Did you mean camber?"),
        (["--quantities", "axle_shift"], {}, "This axle has no such quantity"),
        (["--also", "heave=3"], {}, "allowed: once each: left, right, roll, rack"),
        (["--also", "pitch=3"], {}, 'found "pitch=3"'),
        (["--also", "roll"], {}, "written as name=value"),
        (["--also", "roll=fast"], {}, '"roll=fast"'),
        (["--also", "left=3"], {}, "not both"),
        ([], {"axle": "rear", "motion": "steer"}, "no steering"),
        ([], {"sweep": (5, -5, 1)}, "not a range"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(options, more, message):
    refused = call(*options, **more)

    assert isinstance(refused.exception, InputError)
    assert message in str(refused.exception)


def test_a_linkage_that_does_not_reach_says_how_far_it_comes():
    shown = call("--csv", "-", sweep=(0, 400, 40))

    assert "The linkage reaches only from 0.0 mm to" in shown.stderr
    assert rows(shown)[-1]["left_camber_deg"] == ""


def test_a_list_of_states_names_every_drive_of_each(tmp_path):
    (tmp_path / "states.csv").write_text("heave_mm,roll_deg\n10,1.5\n-20,0\n", "utf-8")
    with as_file(DEMO.joinpath("brisk-14.toml")) as path:
        shown = RUNNER.invoke(commands, ["travel", str(path), "--states", str(tmp_path / "states.csv")])

    lines = [line.strip() for line in shown.output.splitlines()]
    assert lines[0].endswith("heave, roll")
    assert [line.partition(" deg")[0] for line in lines if " mm, " in line and " deg " in line] == [
        "10.0 mm, 1.50",
        "-20.0 mm, 0.00",
    ]
