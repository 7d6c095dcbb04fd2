"""Codes of printed sheets: the same for the same versions, telling nothing, never found by a wrong one."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from jounce.book import open_book
from jounce.book.sheet_codes import LETTERS, LONG


@pytest.fixture
def shop_book(tmp_path: Path):
    with closing(open_book(tmp_path / "shop.db", "Ann", make=True)) as book:
        yield book


def test_the_same_sheet_of_the_same_versions_has_one_code(shop_book):
    car = shop_book.add("car", "Brisk", "one")
    job = shop_book.add("job", "lower", "two", car.id)
    code = shop_book.code_for("job-card", job, car)

    assert shop_book.code_for("job-card", job, car) == code
    assert len(code) == LONG
    assert set(code) <= set(LETTERS)
    others = {
        shop_book.code_for("alignment", job, car),
        shop_book.code_for("job-card", shop_book.save(job), car),
        shop_book.code_for("job-card", job, shop_book.save(car)),
        shop_book.code_for("answer", car),
    }
    assert len(others | {code}) == 5


def test_a_code_leads_back_to_its_versions_and_a_wrong_one_nowhere(shop_book):
    car = shop_book.add("car", "Brisk", "one")
    job = shop_book.add("job", "lower", "two", car.id)
    found = shop_book.sheet_behind(shop_book.code_for("job-card", job, car).lower())

    assert (found.sheet, found.entry, found.number, found.owner_number, found.by) == ("job-card", job.id, 1, 1, "Ann")
    assert shop_book.sheet_behind("2222222") is None
    assert shop_book.sheet_behind("") is None
    assert shop_book.sheet_behind("%") is None
