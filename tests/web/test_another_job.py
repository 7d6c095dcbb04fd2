"""The pages of a car that states no ±, and of a job on it that is not the demo's."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from jounce.book import open_book
from tests.other_job import JOB, car_text
from tests.workbench import Workbench, asked, serving

WRITTEN = Path(__file__).parents[1] / "written_cars"
STEPS = (
    "found",
    "details",
    "aim",
    "changes",
    "consequences",
    "corner",
    "search",
    "fits",
    "settings",
    "sheets",
    "proof",
)


@pytest.fixture(scope="module")
def van(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    book = open_book(Path(tmp_path_factory.mktemp("van")) / "shop.db", "tester", make=True)
    car = book.add("car", "Fescue 10", car_text(bands=False))
    job = book.add("job", "Van, 25 lower", JOB, car.id)
    with serving(book) as port:
        yield Workbench(port, car.id, job.id, book)


def words_of(page: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", re.sub(r"(?s)<(script|style).*?</\1>", " ", page)).split())


@pytest.mark.parametrize("step", STEPS)
def test_every_step_of_the_job_answers_without_a_hole(van: Workbench, step: str) -> None:
    answer = asked(van.port, f"/jobs/{van.job}/{step}")

    assert answer.status == 200
    assert not re.search(r"\bnan\b|\binf\b|\bNone\b", words_of(answer.text))
    assert "Van, 25 lower" in answer.text


def test_the_car_its_measuring_pages_and_its_sheets_answer(van: Workbench) -> None:
    for path in ("", "/measure", "/measure/bars", "/sheets", "/frames.json", "/curves.csv"):
        answer = asked(van.port, f"/cars/{van.car}{path}")

        assert answer.status in {200, 303}, path
        assert not re.search(r"\bnan\b|NaN|Infinity", words_of(answer.text)), path


@pytest.mark.parametrize("kind", ["answer", "baseline"])
def test_a_sheet_of_the_car_alone_is_printed(van: Workbench, kind: str) -> None:
    answer = asked(van.port, f"/cars/{van.car}/sheet.pdf?kind={kind}")

    assert (answer.status, answer.text[:5]) == (200, "%PDF-")


@pytest.mark.parametrize("name", ["burdock", "lovage", "rampion", "sainfoin", "woad"])
def test_every_step_opens_where_nothing_is_on_the_shelf(tmp_path: Path, name: str) -> None:
    """Cars and jobs as somebody wrote them, in a new book; some miss what they wish, for which a shelf would be asked."""
    book = open_book(tmp_path / "shop.db", "tester", make=True)
    car = book.add("car", name, (WRITTEN / f"{name}.toml").read_text("utf-8"))
    job = book.add("job", name, (WRITTEN / f"{name}-job.toml").read_text("utf-8"), car.id)
    with serving(book) as port:
        told = {step: asked(port, f"/jobs/{job.id}/{step}").status for step in STEPS}
    book.close()

    assert told == dict.fromkeys(STEPS, 200)
