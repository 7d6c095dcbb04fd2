"""Rule sets: what is read, what is refused, and limits against the planned car."""

from __future__ import annotations

import datetime
from importlib.resources import files

import pytest
from typer.testing import CliRunner

from jounce.checks import Verdict
from jounce.checks.rule_quantities import QUANTITIES
from jounce.checks.rules import parse_rules, rule_checks
from jounce.cli.app import commands
from jounce.conventions.errors import InputError
from tests.job.changed_jobs import worked

EXAMPLE = files("jounce.demo").joinpath("rules-example.toml").read_text("utf-8")
HEAD = '[rules]\nname = "ours"\n[[rule]]\nname = "a rule"\nsource = "a page"\n'


def one(body: str, edits=(), car=()):
    job = worked(edits, car)
    return rule_checks(parse_rules(HEAD + body, "rules.toml"), job.planned, job.plan)


def test_the_example_is_read_and_says_what_it_is():
    rules = parse_rules(EXAMPLE, "rules-example.toml")

    assert "no legal advice" in rules.note
    assert all("verify" in rule.source for rule in rules.rules)
    assert {rule.what for rule in rules.rules} < set(QUANTITIES)


def test_a_limit_is_held_against_the_planned_car_with_source_and_date():
    (check,) = one('what = "height_change"\nat_most = 40\ndate = 2026-03-14\ntext = "no more"')
    travel = worked().plan.planned.sits.travel

    assert check.verdict is Verdict.PASS
    assert check.value == pytest.approx(max(travel.values()))
    assert check.limit == pytest.approx(0.040)
    assert check.margin == pytest.approx(0.040 - max(travel.values()))
    assert check.source == "a page, as of 2026-03-14"
    assert check.reason == "no more"


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ('what = "height_change"\nat_most = "1 in"', Verdict.FAIL),
        ('what = "ground_clearance"\nat_least = 110', Verdict.PASS),
        ('what = "ground_clearance"\nat_least = 120', Verdict.FAIL),
        ('what = "travel_kept"\nat_least = "66.7 %"', Verdict.PASS),
        ('what = "travel_kept"\nat_least = 99', Verdict.FAIL),
        ('what = "rebound_left"\nat_least = 59', Verdict.PASS),
        ('what = "rebound_left"\nat_least = 61', Verdict.FAIL),
        ('what = "bump_travel"\nat_least = 60', Verdict.PASS),
        ('what = "tyre_to_arch"\nat_least = 5', Verdict.FAIL),
        ('what = "spring_loaded_beyond_droop"\nat_least = 0', Verdict.PASS),
        ('what = "front_camber"\nat_most = 1.5', Verdict.PASS),
        ('what = "front_camber"\nat_most = 0.5', Verdict.FAIL),
        ('what = "lamp_height"\nat_least = 500', Verdict.UNKNOWN),
    ],
)
def test_each_quantity_has_its_limits(body, expected):
    (check,) = one(body)

    assert check.verdict is expected


def test_lamps_come_down_with_the_front():
    (check,) = one('what = "lamp_height"\nat_least = 500', car=(("[limits]", "[limits]\nlamp_height = 620"),))
    travel = worked().plan.planned.sits.travel

    assert check.value == pytest.approx(0.620 - max(travel["front", side] for side in ("left", "right")))
    assert check.verdict is Verdict.PASS


def test_a_rule_may_have_both_limits():
    checks = one('what = "ground_clearance"\nat_least = 100\nat_most = 110')

    assert [check.verdict for check in checks] == [Verdict.PASS, Verdict.FAIL]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no rule set"),
        (HEAD + 'what = "colour"\nat_most = 3', "colour.*travel_kept"),
        (HEAD + 'what = "height_change"', "no limit"),
        (HEAD + 'what = "height_change"\nat_most = true', "number or a text"),
        (HEAD + 'what = "height_change"\nat_most = "3 kg"', "rule 1, at_most"),
        (HEAD + 'what = "height_change"\nat_least = 5\nat_most = 4', "at_least is above"),
        (HEAD + 'what = "height_change"\nat_most = 4\ndate = "May"', "date"),
        (HEAD + 'what = "height_change"\nat_most = 4\nlimit = 4', "Unknown key"),
        (HEAD.replace('source = "a page"\n', "") + 'what = "height_change"\nat_most = 4', "source"),
        (HEAD + 'what = "height_change"\nat_most = 4\n[other]\na = 1', "other"),
        ('[rules]\nnote = "x"\n[[rule]]\nname = "a"', "name"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(text, message):
    with pytest.raises(InputError, match=message) as caught:
        parse_rules(text, "rules.toml")

    assert str(caught.value).startswith("rules.toml")


def test_a_date_is_kept():
    (rule,) = parse_rules(HEAD + 'what = "height_change"\nat_most = 4\ndate = 2026-01-31', "r").rules

    assert rule.date == datetime.date(2026, 1, 31)


def test_command_prints_rules_with_their_source_and_fails_with_them(tmp_path):
    for name in ("brisk-14.toml", "brisk-14-lower.toml", "rules-example.toml"):
        (tmp_path / name).write_text(files("jounce.demo").joinpath(name).read_text("utf-8"), "utf-8")
    figure = tmp_path / "reach.svg"
    asked = ["job", str(tmp_path / "brisk-14-lower.toml"), "--reach", str(figure)]
    plain = CliRunner().invoke(commands, asked)
    ruled = CliRunner().invoke(commands, [*asked, "--rules", str(tmp_path / "rules-example.toml")])

    assert plain.exit_code == 0
    assert ruled.exit_code == 1  # the tyre keeps less than 5 mm from the arch
    assert "no legal advice" in ruled.stdout
    assert "What else moves" in plain.stdout
    assert figure.read_text("utf-8").startswith("<?xml")
