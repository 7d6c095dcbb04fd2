"""Every question of the catalogue through every door: the command, the page and the interface tell the same numbers."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from jounce.book import open_book
from jounce.case.case import case_of_file
from jounce.cli.app import commands
from jounce.conventions.units import to_display, unit_of
from jounce.job.answer_table import Answer
from jounce.questions.catalogue import QUESTIONS
from tests.workbench import Workbench, asked, demo_text, serving

CARS = ("brisk-14", "sorrel-21")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("files")
    for name in (*CARS, "brisk-14-lower"):
        (path / f"{name}.toml").write_text(demo_text(f"{name}.toml"), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def opened(folder: Path) -> Iterator[tuple[Workbench, str]]:
    book = open_book(folder / "shop.db", "tester", make=True)
    car = book.add("car", "Brisk 14", demo_text("brisk-14.toml"))
    other = book.add("car", "Sorrel 21", demo_text("sorrel-21.toml"))
    job = book.add("job", "Lower", demo_text("brisk-14-lower.toml"), car.id)
    with serving(book) as port:
        yield Workbench(port, car.id, job.id, book), other.id


def shown(value: float | str | None, row: Answer) -> str:
    if value is None:
        return "unknown"
    if isinstance(value, str):
        return value
    decimals = unit_of(row.kind).decimals
    return f"{round(float(to_display(value, row.kind)), decimals) + 0.0:.{decimals}f}"


@pytest.mark.parametrize("of", ["job", "other car"])
@pytest.mark.parametrize("word", QUESTIONS)
def test_command_page_and_interface_tell_the_same(
    word: str, of: str, folder: Path, opened: tuple[Workbench, str]
) -> None:
    bench, other = opened
    file, place = ("brisk-14-lower", f"jobs/{bench.job}") if of == "job" else ("sorrel-21", f"cars/{other}")
    path = folder / f"{file}.toml"
    question = QUESTIONS[word]
    answers = question.answer(case_of_file(path), question.as_first(), "metric")
    command = CliRunner().invoke(commands, [word, str(path), "--json", "-"], catch_exceptions=False)
    page = asked(bench.port, f"/{place}/ask/{word}")
    served = asked(bench.port, f"/api/v1/{place}/{word}" + interface_query(word))

    assert (command.exit_code, page.status, served.status) == (0, 200, 200), (command.output, page.text, served.text)
    told = {table["question"]: table for table in json.loads(command.output)}
    text = " ".join(re.sub(r"<[^>]+>", " ", page.text).split())
    for table in answers:
        for row in table.rows:
            for value in row.values:
                assert shown(value, row).replace("-", "−") in text.replace("-", "−"), (table.question, row.name)
        if table.question in told:
            assert told[table.question] == json.loads(json.dumps(table.as_json()))
    assert numbers(json.loads(served.text)["tables"]) == pytest.approx(
        numbers([json.loads(json.dumps(table.as_json())) for table in answers]), rel=1e-12, abs=1e-15
    )


def interface_query(word: str) -> str:
    """The interface takes round SI numbers where nothing is asked; the same as the other doors, then."""
    across = QUESTIONS["corner"].as_first()["at"][0]
    ahead = "&".join(f"ahead={value!r}" for value in QUESTIONS["brake"].as_first()["at"])
    return {"corner": f"?across={across!r}", "brake": f"?{ahead}"}.get(word, "")


def numbers(tables: list[dict[str, Any]]) -> list[float]:
    return [
        value for table in tables for row in table["rows"] for value in row["values"] if isinstance(value, int | float)
    ]


def test_what_is_typed_is_taken_and_what_cannot_be_stands_at_its_field(opened: tuple[Workbench, str]) -> None:
    bench, _ = opened
    one = asked(bench.port, f"/cars/{bench.car}/ask/brake?at=-0.45+g")
    wrong = asked(bench.port, f"/cars/{bench.car}/ask/brake?at=-0.45+g;fast")

    assert one.status == 200
    assert "−0.45 g" in one.text.replace("-", "−")
    assert "−0.80 g" not in one.text.replace("-", "−")
    assert wrong.status == 422
    assert 'value="-0.45 g;fast"' in wrong.text
    assert 'aria-invalid="true"' in wrong.text
    assert "<h3>" not in wrong.text


def test_a_question_that_does_not_exist_is_said_and_the_list_names_all(opened: tuple[Workbench, str]) -> None:
    bench, _ = opened
    listed = asked(bench.port, f"/jobs/{bench.job}/ask").text

    assert all(question.title in listed for question in QUESTIONS.values())
    assert asked(bench.port, f"/cars/{bench.car}/ask/weather").status in {404, 422}
