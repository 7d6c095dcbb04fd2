"""A question asked through every door: the command, the page and the interface for programs."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from typer.testing import CliRunner

from jounce.cli.app import commands
from jounce.conventions.errors import InputError
from jounce.conventions.units import to_display, unit_of
from jounce.job.answer_table import Answer
from jounce.questions import catalogue
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked, Question
from tests.workbench import Workbench, asked


@pytest.fixture(scope="module")
def each_answer_once() -> Iterator[None]:
    """The same question of the same car and job, given the same, is worked out once, whichever door asks."""
    read_plainly = catalogue._read

    @cache
    def read_once(word: str) -> Question:
        question, known = read_plainly(word), {}

        def answer(what: Asked) -> Any:
            case = None if what.on is None else (repr(what.on.car), repr(what.on.job))
            key = (case, repr(sorted(what.given.items())), what.units)
            if key not in known:
                known[key] = question.answer(what)
            return known[key]

        return replace(question, answer=answer)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(catalogue, "_read", read_once)
        yield


def shown(value: float | str | None, row: Answer) -> str:
    if value is None:
        return "unknown"
    if isinstance(value, str):
        return value
    if row.digits or row.counted:
        return row.number(value, "metric")
    decimals = unit_of(row.kind).decimals
    return f"{round(float(to_display(value, row.kind)), decimals) + 0.0:.{decimals}f}"


def through_all_doors(
    bench: Workbench, word: str, what: Asked, options: list[str], place: str, typed: str = "", sent: str = ""
) -> None:
    """The command, the page and the interface beside the question's own answer, or its refusal."""
    question = QUESTIONS[word]
    try:
        answers = question.answer(what)
    except InputError as error:
        refused_at_all_doors(bench, word, options, place, error)
        return
    command = CliRunner().invoke(commands, [word, *options, "--json", "-"], catch_exceptions=False)
    rows = CliRunner().invoke(commands, [word, *options, "--csv", "-"], catch_exceptions=False)
    page = asked(bench.port, place + typed)
    served = asked(bench.port, f"/api/v1{place}{sent}")

    assert (command.exit_code, page.status, served.status) == (0, 200, 200), (command.output, page.text, served.text)
    assert json.loads(command.output) == json.loads(json.dumps(question.told(what)))
    text = " ".join(re.sub(r"<[^>]+>", " ", page.text).split()).replace("-", "−")
    for table in answers:
        for row in table.rows:
            for value in row.values:
                assert html.escape(shown(value, row)).replace("-", "−") in text, (table.question, row.name)
    assert numbers(json.loads(served.text)["tables"]) == pytest.approx(
        numbers([json.loads(json.dumps(table.as_json())) for table in answers]), rel=1e-12, abs=1e-15
    )
    assert rows.output.count("\n") > len(answers)


def refused_at_all_doors(bench: Workbench, word: str, options: list[str], place: str, error: InputError) -> None:
    """Something that this car does not have."""
    command = CliRunner().invoke(commands, [word, *options])
    page, served = asked(bench.port, place), asked(bench.port, f"/api/v1{place}")

    assert str(command.exception) == str(error)
    assert (page.status, served.status) == (422, 422)
    assert error.message in html.unescape(page.text)
    assert error.message in served.text


def numbers(tables: list[dict[str, Any]]) -> list[float]:
    return [
        value for table in tables for row in table["rows"] for value in row["values"] if isinstance(value, int | float)
    ]
