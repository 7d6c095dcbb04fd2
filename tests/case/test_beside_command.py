"""`jounce beside`: its numbers are those of `jounce job`, and a mistake is told before anything is worked out."""

from __future__ import annotations

import csv
import io
import json
import re
from functools import cache
from pathlib import Path

import pypdf
import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.units import show
from tests.case.jobs_beside import CAR, JOB, SOFTER, TOO_LOW, job_on
from tests.workbench import demo_text


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    path = tmp_path_factory.mktemp("jobs")
    for name, text in (("brisk-14.toml", CAR), ("a.toml", JOB), ("b.toml", SOFTER), ("low.toml", TOO_LOW)):
        (path / name).write_text(text, encoding="utf-8")
    for name in ("sedge-13.toml", "shop.toml", "shelf.toml", "rules-example.toml"):
        (path / name).write_text(demo_text(name), encoding="utf-8")
    (path / "renamed.toml").write_text(f"# a copy\n{CAR}", encoding="utf-8")
    (path / "copy.toml").write_text(SOFTER.replace("brisk-14.toml", "renamed.toml"), encoding="utf-8")
    (path / "other.toml").write_text('[job]\nname = "Other"\ncar = "sedge-13.toml"\n', encoding="utf-8")
    return path


@cache
def _ran(folder: Path, *words: str) -> str:
    result = CliRunner().invoke(commands, [word.format(folder=folder) for word in words])
    if isinstance(result.exception, JounceError):
        raise result.exception
    assert result.exit_code in {0, 1}, result.output
    return result.output


def run(folder: Path, *words: str) -> str:
    return _ran(folder, *(f"{{folder}}/{word}" if word.endswith(".toml") else word for word in words))


@pytest.mark.validation_long
@pytest.mark.usefixtures("worked_anew")
def test_its_numbers_are_those_of_each_job_by_the_command_of_one(folder):
    both = json.loads(run(folder, "beside", "a.toml", "copy.toml", "--json", "-"))

    for k, name in enumerate(("a.toml", "copy.toml")):
        alone = json.loads(run(folder, "job", name, "--json", "-"))
        assert both["jobs"][k]["checks"] == alone["checks"]
        rows = {row["key"]: row for row in both["rows"] if row["planned"][k] is not None}
        assert rows.keys() == alone["quantities"].keys()
        for key, own in alone["quantities"].items():
            told = (rows[key]["found"], rows[key]["planned"][k], rows[key]["found_plus_minus"])
            assert told == (own["found"], own["planned"], own["found_plus_minus"])
            assert rows[key]["planned_plus_minus"][k] == own["planned_plus_minus"]
    assert [one["letter"] for one in both["jobs"]] == ["A", "B"]
    assert both["car"] == "Brisk 14"


def test_the_screen_tells_numbers_letters_failures_and_prices(folder):
    told = run(folder, "beside", "a.toml", "b.toml", "low.toml", "--shop", "shop.toml", "--shelf", "shelf.toml")
    flat = " ".join(told.split())
    row = job_on(SOFTER).row("rear.left.ride_frequency")
    line = next(line for line in told.partition("Rear left")[2].splitlines() if line.startswith("ride frequency"))

    for value in (row.found, row.planned):
        assert show(value, row.kind).partition(" ")[0] in line
    for words in (
        "Brisk 14, 3 jobs beside the car as found",
        "B: Softer behind (revision 1, ",
        "C cannot be. wanted.front: The front cannot be lowered by 149.0 mm",
        "B fails LDN-01: ",
        "To pay for A and B: more than told, for price or fitting time of",
    ):
        assert words in flat, words
    assert re.search(r"^to pay, EUR +– +from \d+\.\d\d +from \d+\.\d\d +–$", told, re.MULTILINE)


def test_rows_for_a_spreadsheet_in_other_units(folder):
    rows = list(csv.DictReader(io.StringIO(run(folder, "beside", "a.toml", "b.toml", "--csv", "-", "--units", "inch"))))
    wanted = [row for row in rows if row["quantity"].startswith("wheel rate") and "Rear left" in row["table"]]

    assert [row["column"] for row in wanted] == ["as found", "A", "B"]
    assert {row["unit"] for row in wanted} == {"lbf/in"}
    planned = job_on(SOFTER).row("rear.left.wheel_rate").planned
    assert float(wanted[2]["value"]) == pytest.approx(planned / 175.126835, rel=1e-6)


def test_local_rules_are_checked_too(folder):
    bare = json.loads(run(folder, "beside", "a.toml", "b.toml", "--json", "-"))
    held = json.loads(run(folder, "beside", "a.toml", "b.toml", "--json", "-", "--rules", "rules-example.toml"))

    more = {check["code"] for check in held["jobs"][0]["checks"]} - {one["code"] for one in bare["jobs"][0]["checks"]}
    assert more
    assert all(code.startswith("RUL-") for code in more)


def test_the_sheet_is_written(folder, tmp_path):
    run(folder, "beside", "a.toml", "b.toml", "--sheet", str(tmp_path / "sheet.pdf"), "--paper", "letter")
    pages = pypdf.PdfReader(tmp_path / "sheet.pdf").pages

    assert len(pages) == 1
    assert round(float(pages[0].mediabox.width)) == 612
    assert "Softer behind" in pages[0].extract_text()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["a.toml"], "2 to 4 jobs"),
        (["a.toml"] * 5, "Leave some out"),
        (["a.toml", "b.toml", "--paper", "a3"], "a4 or letter"),
        (["a.toml", "b.toml", "--shelf", "shelf.toml"], "--shop shop.toml"),
        (["a.toml", "nowhere.toml"], "nowhere.toml"),
    ],
)
def test_a_mistake_is_told(folder, words, says):
    with pytest.raises(InputError, match=re.escape(says)):
        run(folder, "beside", *words)
