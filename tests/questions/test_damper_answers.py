"""`jounce damper` and its numbers: forces, ratios, what a spring change does, tests on a bench, clicks, refusals."""

from __future__ import annotations

import csv
import io
import json
import re

import numpy as np
import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.conventions.units import LBF
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.questions.damper import Corner, DamperColumn, curve_line, damper_table
from tests.reference.quarter_car import undamped_modes

RUNNER = CliRunner()
ROWS = "0.052 60 110; 0.13 130 250; 0.26 190 390"
CURVE = ForceVelocity(np.array([0.052, 0.13, 0.26]), np.array([60.0, 130.0, 190.0]), np.array([110.0, 250.0, 390.0]))
UNDER = Corner(motion_ratio=0.9, sprung_mass=256.0, wheel_rate=18e3, spring_factor=1.5)


def told(*columns, corner=UNDER):
    table = damper_table(columns, corner)
    return {row.name.strip(): row.values for row in table.rows}


def call(*options):
    return RUNNER.invoke(commands, ["damper", *options])


def test_forces_and_ratios_are_the_rows_and_nothing_beyond_them():
    rows = told(DamperColumn("a", CURVE))

    assert rows["bump at 0.130 m/s"] == (130.0,)
    assert rows["rebound at 0.260 m/s"] == (390.0,)
    assert rows["rebound/bump at 0.260 m/s"] == pytest.approx((390 / 190,))
    assert rows["bump at 0.390 m/s"] == (None,)
    assert rows["damping up to 1.050 m/s"] == (None,)


def test_the_damping_ratio_is_that_of_one_mass_on_its_spring():
    """Free decay of ``m z'' + c MR² z' + k z = 0``: the roots say the ratio, below the first knee."""
    straight = ForceVelocity(np.array([1.05]), np.array([1000.0]), np.array([2000.0]))
    rows = told(DamperColumn("a", straight))
    at_wheel = 0.5 * (1000 + 2000) / 1.05 * 0.9**2
    root = np.roots([256.0, at_wheel, 18e3])[0]

    assert rows["damping ratio up to 0.130 m/s"][0] == pytest.approx(-root.real / abs(root), rel=1e-12)
    assert rows["critical damping at the rod"][0] == pytest.approx(2 * np.sqrt(18e3 * 256) / 0.81)
    heave = undamped_modes(256.0, 1e-6, 18e3, 1e12).angular_frequency[0]
    assert rows["critical damping at the wheel"][0] == pytest.approx(2 * 256 * heave, rel=1e-4)


@pytest.mark.parametrize(("factor", "becomes"), [(1.5, 0.82), (2.0, 0.71)])
def test_what_a_spring_change_makes_of_the_ratio(factor: float, becomes: float):
    """In-house orientation numbers: + 50 % spring, ratio times 0.82; + 100 %, times 0.71."""
    rows = told(DamperColumn("a", CURVE), corner=Corner(0.9, 256.0, 18e3, factor))

    assert rows["spring change: ζ becomes, times"][0] == pytest.approx(becomes, abs=0.005)
    before = rows["damping ratio up to 0.130 m/s"][0]
    again = told(DamperColumn("a", CURVE), corner=Corner(0.9, 256.0, factor * 18e3))["damping ratio up to 0.130 m/s"][0]
    table = damper_table([DamperColumn("a", CURVE)], Corner(0.9, 256.0, 18e3, factor))
    after = table.rows[[r.name for r in table.rows].index("damping ratio up to 0.130 m/s") + 1]
    assert after.values[0] == pytest.approx(again, rel=1e-12)
    assert again == pytest.approx(before / np.sqrt(factor), rel=1e-12)


def test_a_curve_s_line_reads_back_as_a_car_file_s():
    call_of = curve_line(CURVE)

    assert call_of == "curve = [[0.052, 60.0, 110.0], [0.13, 130.0, 250.0], [0.26, 190.0, 390.0]]"


def test_command_with_several_dampers_and_json():
    found = call(
        "--curve", ROWS, "--knee", "1200 0.13 500; 2600 0.13 900", "--stroke", "40", "--frequency", "1.5", "--json", "-"
    )

    assert found.exit_code == 0, found.output
    (table,) = json.loads(found.output)
    rows = {row["name"]: row for row in table["rows"]}
    assert rows["bump at 0.260 m/s"]["values"] == [190.0, pytest.approx(1200 * 0.13 + 500 * 0.13)]
    assert rows["heat in a steady sine"]["values"][0] == pytest.approx(rows["energy of a cycle"]["values"][0] * 1.5)
    assert rows["energy of a cycle"]["formula"]


def test_command_with_a_test_shows_gaps_spread_and_gas(tmp_path):
    turn = np.linspace(0, 2 * np.pi, 1500) + 1e-3
    lines = ["speed [mm/s],force [N]"]
    for fastest in (0.06, 0.6):
        speed = fastest * np.sin(turn)
        force = np.where(speed > 0, 1500, 3000) * speed + 130
        keep = ~((speed > 0.1) & (speed < 0.2))
        lines += [f"{v * 1e3:.4f},{f:.3f}" for v, f in zip(speed[keep], force[keep], strict=True)]
    path = tmp_path / "blue.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    found = call("--bench", str(path))

    assert found.exit_code == 0, found.output
    assert "gas force, N" in found.output
    assert " 130 " in found.output
    gap = re.search(r"Gap: no points in bump from (\S+) m/s to (\S+) m/s\.", " ".join(found.output.split()))
    assert gap is not None
    assert [float(gap[1]), float(gap[2])] == pytest.approx([0.1, 0.2], abs=0.003)
    lines = call("--bench", str(path), "--as-curve").output.splitlines()
    assert lines[0] == "# blue"
    assert "[0.26, 390" in lines[1]
    assert "[0.13," not in lines[1]


def test_command_with_clicks_shows_every_measured_setting(tmp_path):
    path = tmp_path / "red.toml"
    path.write_text(
        "[clicks]\nsetting = 5\ncurve = [[0, 0.052, 90, 180], [0, 0.52, 400, 900], "
        "[10, 0.052, 50, 100], [10, 0.52, 250, 500]]\n",
        encoding="utf-8",
    )
    found = call("--file", str(path), "--json", "-")

    (table,) = json.loads(found.output)
    assert table["columns"] == ["click 0", "click 10", "set 5"]
    assert table["rows"][0]["values"] == [90.0, 50.0, 70.0]


def test_command_at_speeds_of_one_s_own():
    found = call("--curve", "1 20 40; 10 90 200", "--speeds", "10 3", "--units", "inch", "--json", "-")
    (table,) = json.loads(found.output)

    assert [row["name"] for row in table["rows"]][:2] == ["bump at 3.00 in/s", "bump at 10.00 in/s"]
    assert table["rows"][1]["values"] == [pytest.approx(90 * LBF)]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ([], "No damper was told"),
        (["--curve", "0.1 60"], r"The curve cannot be read"),
        (["--curve", "0.1 60 fast"], "fast"),
        (["--knee", "1200 0.13 500"], "needs bump and rebound"),
        (["--curve", ROWS, "--motion-ratio", "9"], "motion ratio"),
        (["--curve", ROWS, "--wheel-rate", "18000"], "wheel rate"),
        (["--bench", "nowhere.csv"], "nowhere.csv"),
        (["--curve", ROWS, "--speeds", "130"], "rod speed"),
    ],
)
def test_questions_that_cannot_be_answered(options: list[str], words: str):
    found = call(*options)

    assert found.exit_code != 0
    assert words in str(found.exception)


def test_lines_for_a_car_file_reach_other_programs_too():
    words = ("--curve", "0.052 60 110; 0.13 130 250", "--as-curve")
    answer = json.loads(call(*words, "--json", "-").output)
    rows = list(csv.reader(io.StringIO(call(*words, "--csv", "-").output)))

    assert answer[0]["lines"] == call(*words).output.splitlines()
    assert [row[4] for row in rows[1:]] == answer[0]["lines"]
    assert answer[0]["lines"][1].startswith("curve = [[0.052, 60.0, 110.0]")
