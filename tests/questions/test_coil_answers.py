"""`jounce coil` and its numbers: an unknown spring, one against another, the inverse, refusals."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from typer.testing import CliRunner

from jounce.car.file.quantity import Measured
from jounce.cli.app import commands
from jounce.conventions.certainty import SHOWN_PER_TYPED
from jounce.conventions.errors import InputError
from jounce.elements.bars.materials import SPRING_STEELS
from jounce.elements.springs.coil import Ends, helical_rate
from jounce.questions.coil import NEVER, CoilAsked, coil_table

RUNNER = CliRunner()
STEEL = SPRING_STEELS["hot-formed, EN 10089"]
UNKNOWN = CoilAsked(
    steel=STEEL,
    wire=Measured(0.012, 0.00005),
    diameter=Measured(0.112, 0.0003),
    wires_off=1,
    total_turns=Measured(9.5, 0.1),
    ends=Ends.HOT_FORMED_GROUND,
    free_length=0.33,
    load=3000.0,
)


def told(spring, *more):
    table = coil_table((spring, *more), ["x"] * (1 + len(more)), "?")
    return {row.name.strip(): row.values for row in table.rows}


def call(*options):
    return RUNNER.invoke(commands, ["coil", *options])


def as_json(*options):
    shown = call(*options, "--json", "-")
    assert shown.exit_code == 0, shown.output
    return json.loads(shown.stdout)


def test_an_unknown_spring_by_its_wire():
    found = told(UNKNOWN)
    rate = 78.5e9 * 0.012**4 / (8 * 0.1**3 * 8)

    assert found["rate by the wire"][0] == pytest.approx(rate, rel=1e-13)
    assert found["solid length"][0] == pytest.approx(9.2 * 0.012, rel=1e-13)
    assert found["length under the load"][0] == pytest.approx(0.33 - 3000 / rate, rel=1e-13)
    assert found["stress under the load, plain"][0] == pytest.approx(8 * 3000 * 0.1 / (math.pi * 0.012**3), rel=1e-13)
    assert found["corrected"][0] / found["stress under the load, plain"][0] == pytest.approx(
        (0.1 / 0.012 + 0.5) / (0.1 / 0.012 - 0.75), rel=1e-12
    )
    assert found["force at solid"][0] == pytest.approx(rate * (0.33 - 9.2 * 0.012), rel=1e-13)
    assert found["mass"][0] == pytest.approx(7850 * math.pi * 0.006**2 * math.pi * 0.1 * 9.5, rel=1e-13)
    assert found["buckles when compressed by"][0] == NEVER


def test_its_band_is_that_of_each_measurement_moved_on_its_own():
    def rate(wire=0.012, outer=0.112, turns=9.5):
        return float(helical_rate(78.5e9, wire, outer - wire, turns - 1.5))

    changes = [(rate(wire=0.012 + s * 5e-5) - rate(wire=0.012 - s * 5e-5)) / (2 * s) for s in (1e-3,)]
    changes += [(rate(outer=0.112 + 3e-7) - rate(outer=0.112 - 3e-7)) / 2e-3]
    changes += [(rate(turns=9.5 + 1e-4) - rate(turns=9.5 - 1e-4)) / 2e-3]

    assert told(UNKNOWN)["give or take"][0] == pytest.approx(SHOWN_PER_TYPED * math.hypot(*changes), rel=1e-6)


def test_a_slender_spring_buckles_before_it_is_solid():
    slender = CoilAsked(
        steel=STEEL, wire=Measured(0.008), diameter=Measured(0.06), total_turns=Measured(14.0), ends=Ends.CLOSED,
        free_length=0.45,
    )  # fmt: skip
    at = told(slender)["buckles when compressed by"][0]

    assert isinstance(at, float)
    assert 0 < at < slender.travel


def test_one_rate_against_another_under_a_car():
    springs = [CoilAsked(steel=STEEL, rate=rate, motion_ratio=0.8, sprung_mass=220.0) for rate in (19e3, 22e3)]
    found = told(*springs)
    weight = 220 * 9.80665

    assert found["wheel rate"] == pytest.approx([19e3 * 0.64, 22e3 * 0.64], rel=1e-13)
    assert np.square(2 * math.pi * np.array(found["frequency on the spring"])) * 220 == pytest.approx(
        [19e3 * 0.64, 22e3 * 0.64], rel=1e-12
    )
    assert found["body higher than with the first"][1] == pytest.approx(
        weight / (19e3 * 0.64) - weight / (22e3 * 0.64), rel=1e-12
    )
    assert found["body higher than with the first"][0] == 0.0
    assert "rate by the wire" not in found


def test_a_shorter_spring_lowers_by_more_than_it_is_shorter_at_a_lever():
    long = CoilAsked(steel=STEEL, rate=2e4, free_length=0.3, motion_ratio=0.5, sprung_mass=200.0)
    short = replace(long, free_length=0.29)

    assert told(long, short)["body higher than with the first"][1] == pytest.approx(-0.02, rel=1e-9)


def test_a_measured_rate_tells_the_dead_turns():
    rate = float(helical_rate(78.5e9, 0.012, 0.1, 7.75))
    spring = CoilAsked(steel=STEEL, wire=Measured(0.012), diameter=Measured(0.1), total_turns=Measured(9.5), rate=rate)

    assert told(spring)["dead turns by the rate told"][0] == pytest.approx(1.75, rel=1e-12)


def test_turns_for_a_rate_wanted():
    table = as_json("--wire", "12", "--outer", "112", "--ends", "closed-ground", "--for-rate", "22")
    rows = {row["name"].strip(): row["values"][0] for row in table["rows"]}

    assert float(helical_rate(78.5e9, 0.012, 0.1, rows["active turns for the rate wanted"])) == pytest.approx(22e3)
    assert rows["turns from end to end"] == pytest.approx(rows["active turns for the rate wanted"] + 2, rel=1e-14)


def test_several_springs_stand_in_columns_by_what_differs():
    table = as_json("--wire", "12", "--wire", "13", "--mean", "100", "--active", "7")

    assert table["columns"] == ["12.0 mm", "13.0 mm"]
    rate = next(row for row in table["rows"] if row["name"] == "rate by the wire")["values"]
    assert rate[1] / rate[0] == pytest.approx((13 / 12) ** 4, rel=1e-13)


def test_units_go_in_and_out_at_the_door():
    inch = as_json("--wire", "0.5", "--outer", "4.4", "--active", "7.5", "--units", "inch")
    metric = as_json("--wire", "12.7 mm", "--outer", "111.76 mm", "--active", "7.5")

    for one, other in zip(inch["rows"], metric["rows"], strict=True):
        assert one["values"][0] == pytest.approx(other["values"][0], rel=1e-12)


@pytest.mark.parametrize("text", ["0.5 ± 0.002", "0.5 in ± 0.002 in", "12.7 mm ± 0.0508 mm"])
def test_a_band_is_read_in_the_unit_set_or_its_own(text: str):
    table = as_json("--wire", text, "--outer", "4.4", "--active", "7.5", "--units", "inch")
    plain = as_json("--wire", "0.5 ± 0.002", "--outer", "4.4", "--active", "7.5", "--units", "inch")
    bands = [row["values"][0] for each in (table, plain) for row in each["rows"] if row["name"] == "  give or take"]

    assert bands == pytest.approx([bands[0]] * 2, rel=1e-9)


def test_the_screen_names_formula_and_source():
    shown = call("--rate", "19", "--rate", "22", "--motion-ratio", "0.8", "--sprung-mass", "220")

    assert shown.exit_code == 0
    assert "frequency on the spring, Hz" in shown.stdout
    assert ["1.18", "1.27"] in [line.split()[-2:] for line in shown.stdout.splitlines()]
    assert "√(wheel rate / sprung mass) / (2 π)" in shown.stdout
    assert "the tyre and all" in shown.stdout


@pytest.mark.parametrize(
    ("options", "text"),
    [
        (["--wire", "12", "--mean", "100"], "rate is not known"),
        (
            ["--wire", "12", "--wire", "13", "--wire", "14", "--mean", "100", "--active", "7", "--active", "8"],
            "Not every",
        ),
        (["--mean", "100", "--outer", "112", "--rate", "20"], "two diameters"),
        (["--rate", "20", "--ends", "welded"], "does not know this word"),
        (["--rate", "20", "--motion-ratio", "8", "--sprung-mass", "200"], "--motion-ratio is out of range"),
        (["--wire", "12", "--mean", "100", "--turns", "9", "--ends", "closed", "--free", "90"], "not longer free"),
        (["--wire", "12", "--mean", "100", "--turns", "2", "--ends", "closed"], "active turns"),
        (["--rate", "20 kg"], "--rate"),
    ],
)
def test_what_cannot_be_answered_is_refused_in_words(options, text):
    shown = call(*options)

    assert isinstance(shown.exception, InputError)
    assert text in str(shown.exception)
