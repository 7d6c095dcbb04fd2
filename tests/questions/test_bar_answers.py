"""`jounce bar` and `jounce index`: what they answer, in numbers and on the screen."""

from __future__ import annotations

import json
import math
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.units import DEG, GPA, MM, MPA, N_PER_MM
from jounce.elements.bars.materials import STEEL_OF_WORD
from jounce.job.answer_table import AnswerTable
from jounce.questions.bar import BarAsked, bar_answers

DEMO = Path(str(files("jounce.demo")))
REFERENCE = BarAsked(length=0.750, lever=0.300, sprung_mass=256.0, shear_modulus=79.3 * GPA)


def row(table: AnswerTable, name: str) -> tuple[float | str | None, ...]:
    return next(answer.values for answer in table.rows if answer.name == name)


def run(*arguments: str) -> tuple[int, str]:
    result = CliRunner().invoke(commands, list(arguments))
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.exit_code, result.output


def test_in_house_orientation_numbers_of_the_reference_corner():
    """[CALC] in-house orientation numbers, computed with G = 79.3 GPa: 19, 22, 24 and 26 mm on a 300 mm lever, 256 kg."""
    table = bar_answers(REFERENCE, [0.019, 0.022, 0.024, 0.026], [])
    rates = [rate / N_PER_MM for rate in row(table, "rate at the arm's end")]

    assert [round(f, 2) for f in row(table, "frequency")] == pytest.approx([1.22, 1.63, 1.94, 2.28], abs=0.0101)
    assert rates == pytest.approx([15.0, 27, 38, 53], rel=0.012)
    assert [round(twist / DEG, 1) for twist in row(table, "static twist")][::2] == [31.9, 12.5]
    assert [stress / MPA for stress in row(table, "shear stress")][:2] == pytest.approx([560, 361], rel=0.003)
    assert [droop / MM for droop in row(table, "droop until slack")] == pytest.approx([167, 93, 66, 48], abs=0.7)


def test_the_rows_hang_together():
    asked = BarAsked(0.9, 0.29, angle=-8 * DEG, load=2600.0, series=40e3, splines_arm=40, splines_anchor=44)
    table = bar_answers(asked, [0.0235], [])
    whole, twist = row(table, "with what gives besides")[0], row(table, "static twist")[0]

    assert row(table, "bar's share of twist")[0] == pytest.approx(whole / row(table, "torsional rate")[0])
    assert whole * twist == pytest.approx(2600 * 0.29 * math.cos(8 * DEG), rel=1e-12)
    assert row(table, "stored energy")[0] == pytest.approx(0.5 * whole * twist**2, rel=1e-12)
    assert row(table, "shear stress")[0] == pytest.approx(16 * whole * twist / (math.pi * 0.0235**3), rel=1e-12)
    assert row(table, "of it by the arm's angle")[0] < 0  # a drooping arm loses leverage against the wheel as it rises
    assert row(table, "smallest step of both")[0] == pytest.approx(math.tau / 440 * 0.29 * math.cos(8 * DEG))
    assert row(table, "load cycles it lasts") == (None,)


@pytest.mark.parametrize("angle", [-20, 0, 15])
@pytest.mark.parametrize("series", [None, 30e3])
def test_the_diameter_for_a_rate_has_that_rate(angle: float, series: float | None):
    asked = BarAsked(0.9, 0.3, bore=0.008, angle=angle * DEG, load=2500.0, series=series)
    found = bar_answers(asked, [], [30 * N_PER_MM])

    assert row(found, "rate at the arm's end")[0] == pytest.approx(30 * N_PER_MM, rel=1e-10)
    assert found.columns == ("for 30.00 N/mm",)


def test_a_rate_that_no_bar_has_is_refused_with_the_reason():
    with pytest.raises(Impossible, match="what gives besides the bar is softer"):
        bar_answers(BarAsked(0.9, 0.3, series=500.0), [], [30 * N_PER_MM])
    with pytest.raises(Impossible, match="the loaded arm alone is stiffer"):
        bar_answers(BarAsked(0.9, 0.3, angle=60 * DEG, load=6000.0), [], [4 * N_PER_MM])
    with pytest.raises(InputError, match="needs the arm"):
        bar_answers(BarAsked(0.9), [], [30 * N_PER_MM])


def test_a_steel_without_a_published_limit_has_none():
    asked = BarAsked(0.9, 0.3, load=2500.0, steel=STEEL_OF_WORD["music-wire"], preset=True)
    table = bar_answers(asked, [0.02], [])

    assert row(table, "permissible, few loads") == (None,)
    assert row(table, "margin") == (None,)
    assert row(bar_answers(BarAsked(0.9, 0.3, load=2500.0, preset=True), [0.02], []), "permissible, few loads") == (
        1020e6,
    )


def test_a_soft_bar_never_goes_slack_on_its_arc_and_an_unstable_arm_says_so():
    soft = BarAsked(1.5, 0.4, load=2500.0, sprung_mass=250.0)

    assert row(bar_answers(soft, [0.017], []), "the same, on the arc") == ("never",)
    falling = BarAsked(1.5, 0.4, angle=-60 * DEG, load=2500.0, sprung_mass=250.0)
    assert row(bar_answers(falling, [0.017], []), "frequency") == ("falls over",)


def test_the_question_of_the_manual_is_answered():
    code, text = run("bar", "--diameter", "24", "--length", "1010", "--lever", "290", "--against", "21")

    assert code == 0
    assert "24.0 mm  21.0 mm" in text
    assert "30.10    17.65" in text
    assert "[Gere" in text


def test_json_is_in_si_and_in_full():
    code, text = run("bar", "--diameter", "24", "--length", "1010", "--lever", "290", "--sprung", "256", "--json", "-")
    values = json.loads(text)

    assert code == 0
    assert values["unit_system"] == "SI"
    rate = next(r for r in values["rows"] if r["name"] == "torsional rate")
    assert rate["values"][0] == pytest.approx(math.pi * 78.5e9 * 0.024**4 / (32 * 1.01))
    assert rate["formula"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--diameter", "24"], "A bar needs its length"),
        (["--length", "900"], "No bar was named"),
        (["--length", "900", "--diameter", "24", "--steel", "butter"], "does not know this word"),
        (["--length", "900", "--diameter", "24", "--bore", "25"], "bore of the torsion bar must be smaller"),
        (["--length", "900", "--diameter", "24 kg"], "--diameter"),
        (["--length", "900", "--diameter", "24", "--lever", "300", "--load=-5"], "load must be more than nothing"),
    ],
)
def test_what_cannot_be_answered_is_said_in_words(arguments: list[str], said: str):
    with pytest.raises(InputError) as caught:
        run("bar", *arguments)

    assert said in str(caught.value)


@pytest.mark.parametrize("file", ["brisk-14-lower.toml", "brisk-14.toml", "yarrow-12.toml", "tansy-11.toml"])
def test_index_prints_tables_that_fit_the_screen(file: str):
    code, text = run("index", str(DEMO / file))

    assert code == 0
    assert "left" in text
    assert "hanging" in text
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "unknown: no published fatigue limit at hand" in text


def test_index_takes_a_height_of_its_own_and_one_side():
    _, lowered = run("index", str(DEMO / "brisk-14.toml"), "--lower", "25", "--side", "right", "--json", "-")
    _, as_height = run("index", str(DEMO / "brisk-14.toml"), "--height", "320", "--side", "left", "--json", "-")
    right, left = json.loads(lowered)["sides"], json.loads(as_height)["sides"]

    assert set(right) == {"right"}
    assert right["right"]["wanted_height"] == pytest.approx(0.322)
    assert left["left"]["wanted_height"] == pytest.approx(0.320)


def test_index_of_a_job_at_another_height():
    _, text = run("index", str(DEMO / "brisk-14-lower.toml"), "--lower", "20 mm", "--json", "-")
    sides = json.loads(text)["sides"]

    for one in sides.values():
        assert one["expected_height"] == pytest.approx(one["wanted_height"], abs=0.0025)
        assert one["turn_same_height"] < -0.1


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--lower", "20", "--height", "300"], "A height is asked for twice"),
        (["--side", "middle"], "--side does not know this word"),
        (["--axle", "rear"], "no torsion bar to index"),
    ],
)
def test_index_refuses_in_words(arguments: list[str], said: str):
    with pytest.raises(InputError) as caught:
        run("index", str(DEMO / "brisk-14.toml"), *arguments)

    assert said in str(caught.value)
