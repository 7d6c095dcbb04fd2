"""`jounce anti-roll-bar`, and the anti-roll bars that `jounce settle` and `jounce job` tell of."""

from __future__ import annotations

import json

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.conventions.errors import InputError, InputProblems
from tests.behaviour.demo_layouts import DEMO

RUNNER = CliRunner()
ARMS = ["--lever", "250", "--across", "80", "--bend-to-bush", "60", "--bush-to-middle", "400"]
BAR = """\
diameter = 20
centre_line = [[250, 540, 0], [0, 460, 0]]
bend_radius = 50
bush = [0, 400, 0]
"""


def told(*options):
    result = RUNNER.invoke(commands, ["anti-roll-bar", *options, "--json", "-"])
    assert result.exit_code == 0, result.exception
    return {row["name"]: row for row in json.loads(result.stdout)["rows"]}


def refused(*options):
    result = RUNNER.invoke(commands, ["anti-roll-bar", *options])
    assert isinstance(result.exception, InputError)
    return str(result.exception)


def test_diameters_stand_side_by_side():
    rows = told(*ARMS, "--diameter", "20", "--diameter", "24", "--travel", "20")

    assert rows["end rate"]["values"][0] == pytest.approx(34.5999e3, abs=0.05)
    assert rows["end rate, handbook"]["values"][0] == pytest.approx(33.9051e3, abs=0.05)
    assert rows["end rate, times the first"]["values"] == pytest.approx([1, 1.2**4])
    assert rows["by d⁴ alone"]["values"] == pytest.approx([1, 1.2**4])
    assert rows["force at each end"]["values"][0] == pytest.approx(34.5999e3 * 0.020, abs=0.01)
    assert rows["end rate, space frame"]["values"][0] == pytest.approx(34.5999e3, rel=1e-3)


def test_stress_under_a_force_and_where_it_is():
    rows = told(*ARMS, "--diameter", "20", "--force", "1 kN")

    assert rows["largest shear stress"]["values"][0] == pytest.approx(159.1549e6, rel=1e-6)
    assert rows["largest equivalent stress"]["values"][0] == pytest.approx(334.2e6, rel=1e-3)
    assert rows["… from the end of the arm"]["values"][0] == pytest.approx(0.2624881, rel=1e-6)


def test_a_tube_in_place_of_a_solid_bar():
    rows = told(*ARMS, "--diameter", "22.6", "--tube", "25")
    hollow = told(*ARMS, "--diameter", "25", "--bore", "19")

    assert rows["… inside"]["values"][0] == pytest.approx(0.019, abs=5e-5)
    assert rows["… its mass of the solid bar's"]["values"][0] == pytest.approx(0.52, abs=0.005)
    assert hollow["solid bar of the same rate"]["values"][0] == pytest.approx(0.0226, abs=5e-5)
    assert hollow["end rate"]["values"][0] == pytest.approx(rows["end rate"]["values"][0], rel=0.01)
    assert told(*ARMS, "--diameter", "22", "--tube", "20")["… inside"]["values"] == ["none"]


def test_a_file_tells_a_bar_of_any_shape(tmp_path):
    (tmp_path / "bar.toml").write_text(BAR, "utf-8")
    rows = told(str(tmp_path / "bar.toml"))
    again = told(str(tmp_path / "bar.toml"), "--diameter", "22")

    assert rows["end rate"]["values"][0] == pytest.approx(35.306e3, abs=0.5)
    assert rows["end rate, straight arms"]["values"][0] == pytest.approx(34.5999e3, abs=0.05)
    assert rows["straight arms differ by"]["values"][0] == pytest.approx(34.5999 / 35.306 - 1, abs=1e-4)
    assert again["end rate"]["values"][0] / rows["end rate"]["values"][0] == pytest.approx(1.1**4, rel=2e-3)
    assert all(row["formula"] or row["name"].startswith(("end rate, times", "tube")) for row in rows.values())


def test_blade_and_link_stand_behind_the_bar(tmp_path):
    more = "link_rate = 500\nblade_length = 100\nblade_width = 30\nblade_thickness = 8\nblade_angle = 0\n"
    (tmp_path / "bar.toml").write_text(BAR + more, "utf-8")
    (tmp_path / "link.toml").write_text(BAR + "link_rate = 500\n", "utf-8")
    both, link = (told(str(tmp_path / f"{name}.toml")) for name in ("bar", "link"))
    end, behind = link["end rate"]["values"][0], link["… with blade and link"]["values"][0]

    assert 1 / behind - 1 / end == pytest.approx(1 / 500e3, rel=1e-9)
    assert both["… with blade and link"]["values"][0] < behind


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ([], "The bar has no shape"),
        (ARMS, "The bar has no diameter"),
        ([*ARMS, "--diameter", "20", "--travel", "20", "--force", "10"], "given twice"),
        ([*ARMS, "--diameter", "20", "--bore", "1", "--bore", "2"], "found 2 for 1"),
        ([*ARMS, "--diameter", "20", "--bore", "20"], "The bore is not smaller than the bar"),
        ([*ARMS, "--diameter", "20 kg"], "--diameter"),
        (["--lever", "-5", *ARMS[2:], "--diameter", "20"], "lever is not above zero"),
    ],
)
def test_what_is_missing_is_said(options, words):
    assert words in refused(*options)


def test_what_is_wrong_in_the_file_is_said_with_its_place(tmp_path):
    (tmp_path / "bar.toml").write_text(BAR.replace("bush = [0, 400, 0]", "bsh = [0, 400, 0]"), "utf-8")
    result = RUNNER.invoke(commands, ["anti-roll-bar", str(tmp_path / "bar.toml")])

    assert isinstance(result.exception, InputProblems)
    assert "bsh (line 4)" in str(result.exception)


def test_a_bar_with_unlike_halves_is_refused_in_words(tmp_path):
    unlike = BAR.replace("bush = [0, 400, 0]", "bush = { left = [0, 400, 0], right = [0, -390, 0] }")
    (tmp_path / "bar.toml").write_text(unlike, "utf-8")
    result = RUNNER.invoke(commands, ["anti-roll-bar", str(tmp_path / "bar.toml")])

    assert isinstance(result.exception, InputProblems)
    assert "The bar is told with unlike halves" in str(result.exception)
    assert "found bush; allowed: the left half alone" in str(result.exception)


LONGER_LEFT = "\n[front.left.roll_bar]\nlink_length = 40\n"


def settled(tmp_path, *pairs):
    text = DEMO.joinpath("brisk-14.toml").read_text("utf-8")
    for old, new in pairs:
        assert text.count(old) == 1
        text = text.replace(old, new)
    (tmp_path / "car.toml").write_text(text, "utf-8")
    result = RUNNER.invoke(commands, ["settle", str(tmp_path / "car.toml")])
    assert result.exit_code == 0, result.exception
    return " ".join(result.stdout.split())


def test_settle_tells_what_winds_a_bar_and_what_frees_it(tmp_path):
    shown = settled(
        tmp_path,
        (
            'link_on = "arm"\n',
            'link_on = "arm"\nlink_length = 36\nlink_slack = 1\n\n[front.left.roll_bar]\nlink_length = 40\n',
        ),
        ("active_length = 1100\n", "active_length = 1100\nclamp_rate = 300\n"),
    )

    assert "wound 1.07 deg at rest" in shown
    assert "the left link 36.0 mm long (is 40.0 mm) or the right link 40.0 mm long (is 36.0 mm)" in shown
    assert "play of the links: without effect from" in shown
    assert "rear inner bar:" in shown
    assert "clamps" in shown


def test_settle_says_nothing_of_a_free_bar(tmp_path):
    shown = settled(tmp_path)

    assert "12.46 N·m/deg over its arms (straight-arm formula)" in shown
    assert "wound" not in shown.partition("front anti-roll bar")[2]


def test_settle_says_how_two_bars_on_one_link_are_counted(tmp_path):
    points = "arm_end = [45, 500, 250]\nbend = [250, 440, 238]\nbush = [250, 340, 238]\n\n"
    second = f"[front.roll_bar_2]\ndiameter = 15\n{points}"
    shown = settled(tmp_path, ("[front.clearance]", f"{second}[front.clearance]"))

    assert "the two rates add; where both ends sit on one ball joint" in shown
    assert "two rates" not in settled(tmp_path)
