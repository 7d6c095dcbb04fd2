"""Every question of the catalogue through every door: the command, the page and the interface tell the same numbers."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from typer.testing import CliRunner

from jounce.book import open_book
from jounce.case.case import case_of_file
from jounce.cli.app import commands
from jounce.conventions.errors import InputError
from jounce.conventions.units import read, to_display, unit_of
from jounce.job.answer_table import Answer
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked, Number
from jounce.questions.titles import OF_CARS, OF_PARTS
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
@pytest.mark.parametrize("word", OF_CARS)
def test_command_page_and_interface_tell_the_same(
    word: str, of: str, folder: Path, opened: tuple[Workbench, str]
) -> None:
    bench, other = opened
    file, place = ("brisk-14-lower", f"jobs/{bench.job}") if of == "job" else ("sorrel-21", f"cars/{other}")
    path = folder / f"{file}.toml"
    question = QUESTIONS[word]
    asked_of = Asked(question.as_first(), "metric", case_of_file(path))

    if word == "index" and of == "other car":
        refused_at_all_doors(bench, word, [str(path)], f"/{place}/ask/{word}")
        return
    through_all_doors(bench, word, asked_of, [str(path)], f"/{place}/ask/{word}")


def test_what_else_moves_is_asked_of_a_job(folder: Path, opened: tuple[Workbench, str]) -> None:
    bench, other = opened
    path = folder / "brisk-14-lower.toml"

    through_all_doors(
        bench,
        "side-effects",
        Asked({}, "metric", case_of_file(path)),
        [str(path)],
        f"/jobs/{bench.job}/ask/side-effects",
    )
    assert asked(bench.port, f"/cars/{other}/ask/side-effects").status == 422
    refused = CliRunner().invoke(commands, ["side-effects", str(folder / "sorrel-21.toml")])
    assert isinstance(refused.exception, InputError)


PARTS = {
    "bar": {"length": "900", "diameter": ["24", "21"], "lever": "290", "sprung": "256"},
    "coil": {"rate": ["19", "22"], "motion_ratio": "0.8", "sprung_mass": "220"},
    "damper": {"curve": ["0.052 60 110; 0.13 130 250"], "motion_ratio": "0.95", "sprung": "256", "wheel_rate": "18"},
    "anti-roll-bar": {"lever": "250", "bush_to_middle": "400", "diameter": ["19", "22"], "travel": "20"},
}


@pytest.mark.parametrize("word", OF_PARTS)
def test_a_part_is_asked_through_all_doors(word: str, opened: tuple[Workbench, str]) -> None:
    bench, _ = opened
    typed, question, kinds = PARTS[word], QUESTIONS[word], {}
    for ask in question.asks:
        if isinstance(ask, Number):
            kinds[ask.name] = ask.kind
    given: dict[str, object] = {}
    for name, text in typed.items():
        texts = [text] if isinstance(text, str) else text
        given[name] = tuple(
            read(one, kinds[name], unit_of(kinds[name]).symbol) if name in kinds else one for one in texts
        )
    options = [
        part
        for name, text in typed.items()
        for one in ([text] if isinstance(text, str) else text)
        for part in (f"--{name.replace('_', '-')}", one)
    ]
    shown_in = {name: text if isinstance(text, str) else "; ".join(text) for name, text in typed.items()}
    if word == "damper":  # semicolons part the rows of one curve; another one is not typed here
        shown_in["curve"] = "0.052 60 110"
        given["curve"] = ("0.052 60 110",)
        options[1] = "0.052 60 110"
    sent = urlencode(
        {name: list(value) if isinstance(value, tuple) else value for name, value in given.items()}, doseq=True
    )

    through_all_doors(
        bench, word, Asked(question.filled(given)), options, f"/ask/{word}", "?" + urlencode(shown_in), "?" + sent
    )


def through_all_doors(
    bench: Workbench, word: str, what: Asked, options: list[str], place: str, typed: str = "", sent: str = ""
) -> None:
    """The command, the page and the interface beside the question's own answer."""
    question = QUESTIONS[word]
    answers = question.answer(what)
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


def refused_at_all_doors(bench: Workbench, word: str, options: list[str], place: str) -> None:
    """Something that this car does not have."""
    command = CliRunner().invoke(commands, [word, *options])
    page, served = asked(bench.port, place), asked(bench.port, f"/api/v1{place}")

    assert isinstance(command.exception, InputError)
    assert (page.status, served.status) == (422, 422)
    assert command.exception.message in page.text
    assert command.exception.message in served.text


def numbers(tables: list[dict[str, Any]]) -> list[float]:
    return [
        value for table in tables for row in table["rows"] for value in row["values"] if isinstance(value, int | float)
    ]


def test_what_is_typed_is_taken_and_what_cannot_be_stands_at_its_field(opened: tuple[Workbench, str]) -> None:
    bench, _ = opened
    one = asked(bench.port, f"/cars/{bench.car}/ask/brake?ahead=-0.45+g")
    wrong = asked(bench.port, f"/cars/{bench.car}/ask/brake?ahead=-0.45+g;fast")

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

    assert all(title in listed for title in OF_CARS.values())
    assert asked(bench.port, f"/cars/{bench.car}/ask/weather").status in {404, 422}
