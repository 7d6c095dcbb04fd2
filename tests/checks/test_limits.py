"""Limits of the checks: one table, each with an origin; a shop may hold its own."""

from __future__ import annotations

import ast
from importlib.resources import files
from pathlib import Path

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from jounce.checks import Verdict, run_checks
from jounce.checks.ends_of_travel import end_of_travel
from jounce.checks.limits import LIMITS, USUAL
from jounce.checks.lower_still import lower_still
from jounce.checks.rules import parse_rules
from jounce.cli.app import commands
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind
from jounce.search import run
from tests.job.changed_jobs import worked

CHECKS = Path(str(files("jounce.checks")))
NO_LIMITS = {
    "_LOOKED",  # how far is looked
    "_STEPS",
    "_HAIR",  # edges of a region without width
    "_CHART",  # where a published chart holds
    "_SWING_SPEED",  # speed at which a curve is read
    "_YOUNG",  # steel
    "_YIELD",
    "_AHEAD",  # which way the edge of a tyre lies
    "_SAME",  # two places that are one
    "_STILL",  # what is not set at all
    "_SHOWN",  # lengths that read the same
    "_OTHERS",  # what is swept through
    "_LOCKS",
    "_EQUAL",  # two states that are one
    "_ONE",
    "_BEAM",  # where a lamp's aim is told
    "FALLING_MASS",  # what an energy is compared with
}


@pytest.mark.parametrize("path", sorted(set(CHECKS.glob("*.py")) - {CHECKS / "limits.py"}), ids=lambda path: path.stem)
def test_no_check_has_a_limit_of_its_own(path):
    """Neither a constant of a module nor a bare number that something is compared with or limited by."""
    tree = ast.parse(path.read_text("utf-8"))
    own = {
        name.id
        for statement in tree.body
        if isinstance(statement, (ast.Assign, ast.AnnAssign))
        for target in (statement.targets if isinstance(statement, ast.Assign) else [statement.target])
        for name in ast.walk(target)
        if isinstance(name, ast.Name)
        and any(isinstance(part, ast.Constant) and isinstance(part.value, float | int) for part in ast.walk(statement))
    }
    compared = [
        part.value
        for one in ast.walk(tree)
        if isinstance(one, ast.Compare)
        for part in (one.left, *one.comparators)
        if isinstance(part, ast.Constant) and isinstance(part.value, float) and part.value > 1e-4
    ]
    assert own <= NO_LIMITS
    assert compared == []


def test_every_limit_names_its_check_its_origin_and_stands_on_the_page_of_checks():
    page = (Path(__file__).parents[2] / "docs" / "checks.md").read_text("utf-8")
    for name, limit in LIMITS.items():
        assert limit.value > 0
        assert limit.words
        assert limit.origin
        assert f"| `{name}` | `{limit.code}` |" in page


OWN = """[rules]
name = "ours"

[limits.least_bump]
value = "500 mm"
source = "what we hold to"
"""


def test_a_shop_holds_a_limit_of_its_own():
    limits = parse_rules(OWN, "rules").limits
    demo = worked()
    usual, own = (
        {c.code: c for c in run_checks(demo.job, demo.planned, demo.plan, one)}["TRV-02"] for one in (USUAL, limits)
    )

    assert usual.verdict is Verdict.PASS
    assert usual.limit == 0.045
    assert own.verdict is Verdict.FAIL
    assert own.limit == 0.5
    assert own.source == "what we hold to"


def test_the_search_holds_to_a_limit_of_the_shop(tmp_path, monkeypatch):
    """The command hands them to the search, whose judging `test_search` looks at; the search itself is left out here."""
    asked, demo, rules = [], Path(str(files("jounce.demo"))), tmp_path / "rules.toml"
    rules.write_text(OWN, encoding="utf-8")

    def heard(_, wanted, *_rest):
        asked.append(wanted)
        raise run.Stopped("as far as this")

    monkeypatch.setattr("jounce.cli.search.search_all", heard)
    words = ["search", str(demo / "brisk-14-lower.toml"), "--shelf", str(demo / "shelf.toml"), "--place", "inner bar"]
    for more in ((), ("--rules", str(rules))):
        CliRunner().invoke(commands, [*words, *more])

    assert [wanted.limits["least_bump"].value for wanted in asked] == [0.045, 0.5]


def test_sheets_hold_to_a_limit_of_the_shop(tmp_path):
    rules, out = tmp_path / "rules.toml", tmp_path / "sheet.pdf"
    rules.write_text(OWN, encoding="utf-8")
    job = str(files("jounce.demo").joinpath("brisk-14-lower.toml"))
    done = CliRunner().invoke(commands, ["sheet", "hand-over", job, "--out", str(out), "--rules", str(rules)])
    told = " ".join(page.extract_text() for page in PdfReader(out).pages)

    assert done.exit_code == 0, done.output
    assert "500" in told.partition("not to be lowered")[0]
    assert told.count("not to be lowered any further") == 2


def test_how_much_lower_a_car_may_stand_is_told_by_the_limit_of_the_shop():
    demo = worked()
    ends = {axle: end_of_travel(demo.plan.planned, axle, "bump").travel for axle in ("front", "rear")}
    short = min(ends, key=lambda axle: ends[axle])
    own = parse_rules(OWN.replace("500 mm", f"{(ends[short] - 1e-3) * 1e3} mm"), "rules").limits
    usual, nearest = (
        lower_still(demo.planned, demo.plan, (run_checks(demo.job, demo.planned, demo.plan, one), one), short)[0]
        for one in (USUAL, own)
    )

    assert "bump travel is too short" not in usual.words
    assert "bump travel is too short" in nearest.words
    assert nearest.way == pytest.approx(1e-3)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (OWN.replace("least_bump", "least_bumps"), "There is no such limit"),
        (OWN.replace("500 mm", "0 mm"), "A limit is above zero"),
        (OWN.replace("500 mm", "500 deg"), "deg"),
        (OWN.replace('source = "what we hold to"', ""), '"source" needs a text'),
    ],
)
def test_a_limit_that_cannot_be_held_is_refused_at_its_place(text, told):
    with pytest.raises(InputError, match=told):
        parse_rules(text, "rules")


def test_every_margin_that_a_lower_car_uses_up_is_among_the_limits_of_lowering_it():
    """The demo job and the same job 4 mm lower: each length that shrinks with it is told with exactly its margin."""
    whole, lower = worked(()), worked((("lower = 35\n", "lower = 39\n"),))
    checks, after_it = (tuple(run_checks(one.job, one.planned, one.plan)) for one in (whole, lower))
    ways = {
        axle: [one.way for one in lower_still(whole.planned, whole.plan, (checks, USUAL), axle)]
        for axle in ("front", "rear")
    }
    shrunk = [
        before
        for before, after in zip(checks, after_it, strict=True)
        if before.kind is Kind.LENGTH and before.margin is not None and before.margin - (after.margin or 0.0) > 1e-3
    ]

    assert {"TRV-01", "TRV-02", "BAR-02", "SPR-01", "GND-01", "LDN-01", "LDN-02", "LDN-03"} <= {c.code for c in shrunk}
    for check in shrunk:
        axles = [axle for axle in ways if axle in check.question] or (
            ["front"] if check.code == "BAR-02" else list(ways)
        )
        for axle in axles:
            assert any(way == pytest.approx(check.margin, abs=1e-9) for way in ways[axle]), check.question
