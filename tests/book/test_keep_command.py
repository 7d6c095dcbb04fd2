"""`jounce book keep`: a job goes to its car."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from jounce.book import open_book
from jounce.cli.app import commands
from jounce.conventions.errors import InputError
from tests.workbench import demo_text

JOB = '[job]\nname = "lower"\ncar = "sedge-13.toml"\n\n[wanted.front]\nlower = 10\n\n[wanted.rear]\nlower = 10\n'


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A book, and beside it the files of a car and its job."""
    (tmp_path / "sedge-13.toml").write_text(demo_text("sedge-13.toml"), "utf-8")
    (tmp_path / "job.toml").write_text(JOB, "utf-8")
    open_book(tmp_path / "shop.db", "tester", make=True).close()
    return tmp_path


def keep(place: Path, file: str, *more: str):
    return CliRunner().invoke(commands, ["book", "keep", str(place / "shop.db"), str(place / file), *more])


def test_a_job_without_its_car_is_not_kept_and_the_cars_are_named(place: Path) -> None:
    early = keep(place, "job.toml")
    assert keep(place, "sedge-13.toml").exit_code == 0
    late = keep(place, "job.toml")

    assert isinstance(early.exception, InputError)
    assert "Keep its car first" in str(early.exception)
    assert 'Say which: --of "Sedge 13"' in str(late.exception)
    book = open_book(place / "shop.db", "tester")
    assert list(book.entries("job")) == []
    book.close()


def test_a_job_of_no_car_goes_to_the_car_that_is_named_and_stays_there(place: Path) -> None:
    book = open_book(place / "shop.db", "tester")
    book.add("job", "lower", JOB)  # as books of older versions have some
    book.close()
    keep(place, "sedge-13.toml")

    assert keep(place, "job.toml", "--of", "Sedge 13").exit_code == 0
    assert keep(place, "job.toml").exit_code == 0

    book = open_book(place / "shop.db", "tester")
    (job,), (car,) = book.entries("job"), book.entries("car")
    assert (job.belongs_to, job.number) == (car.id, 3)
    book.close()
