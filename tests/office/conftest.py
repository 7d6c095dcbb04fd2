"""A book with two cars and three jobs; nothing in it is worked out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from jounce.book import Book, Entry, open_book


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """The book."""
    opened = open_book(tmp_path / "shop.db", "Ann", make=True)
    owner = opened.add("customer", "A. Example", "0123 in the evening")
    car = opened.add("car", "Brisk 14", "", owner.id)
    other = opened.add("car", "Sedge 13", "")
    opened.add("job", "Lower", "", car.id)
    opened.add("job", "Firmer", "", car.id)
    opened.add("job", "Quieter", "", other.id)
    yield opened
    opened.close()


@pytest.fixture
def job(book: Book) -> Entry:
    """One of its jobs."""
    return next(one for one in book.entries("job") if one.name == "Lower")
