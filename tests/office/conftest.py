"""A book with two cars and three jobs; nothing in it is worked out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from jounce.book import Book, Entry, open_book


def three_jobs(book: Book) -> Entry:
    """Put a customer, two cars and three jobs in; one of the jobs."""
    owner = book.add("customer", "A. Example", "0123 in the evening")
    car = book.add("car", "Brisk 14", "", owner.id)
    other = book.add("car", "Sedge 13", "")
    job = book.add("job", "Lower", "", car.id)
    book.add("job", "Firmer", "", car.id)
    book.add("job", "Quieter", "", other.id)
    return job


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """An empty book."""
    opened = open_book(tmp_path / "shop.db", "Ann", make=True)
    yield opened
    opened.close()


@pytest.fixture
def job(book: Book) -> Entry:
    """One of three jobs that are in it."""
    return three_jobs(book)
