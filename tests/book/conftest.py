"""A fresh book for each test."""

from __future__ import annotations

import pytest

from jounce.book import open_book


@pytest.fixture
def book(tmp_path):
    """An empty book in a file."""
    opened = open_book(tmp_path / "shop.db", "Ann", make=True)
    yield opened
    opened.close()
