"""Every question of every demo car through every door."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest

from jounce.book import open_book
from jounce.car.file.reading import read_car
from jounce.case.case import case_of_file
from jounce.conventions.axes import ENDS
from jounce.layouts.catalogue import LAYOUTS
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked
from jounce.questions.titles import OF_CARS
from tests.doors import (
    each_answer_once,  # noqa: F401  # a fixture
    through_all_doors,
)
from tests.workbench import Workbench, serving

DEMO = Path(str(files("jounce.demo")))
CARS = sorted(path for path in DEMO.glob("*-[0-9][0-9].toml"))

pytestmark = [pytest.mark.validation_long, pytest.mark.usefixtures("each_answer_once")]


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Workbench, dict[str, str]]]:
    book = open_book(tmp_path_factory.mktemp("book") / "shop.db", "tester", make=True)
    kept = {path.stem: book.add("car", path.stem, path.read_text("utf-8")).id for path in CARS}
    with serving(book) as port:
        yield Workbench(port, "", "", book), kept


def test_there_is_a_demo_car_of_every_layout() -> None:
    documents = [read_car(path) for path in CARS]
    used = {document.axle(end).as_layout().name for document in documents for end in ENDS}

    assert used >= set(LAYOUTS)


@pytest.mark.parametrize("word", OF_CARS)
@pytest.mark.parametrize("path", CARS, ids=lambda path: path.stem)
def test_every_question_of_every_demo_car(path: Path, word: str, opened: tuple[Workbench, dict[str, str]]) -> None:
    bench, kept = opened
    what = Asked(QUESTIONS[word].as_first(), "metric", case_of_file(path))

    through_all_doors(bench, word, what, [str(path)], f"/cars/{kept[path.stem]}/ask/{word}")
