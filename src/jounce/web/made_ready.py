"""The first page of a car does not wait for what every page needs: the mechanics are in memory before one is asked for."""

from __future__ import annotations

from contextlib import suppress

from jounce.book import Book
from jounce.conventions.errors import JounceError
from jounce.web.case_cache import car_case, car_travel_bands
from jounce.web.picture.standing import as_found

__all__ = ["make_ready"]

_MOST = 3
"""Cars worked out before the address is told; the mechanics are in memory after one, each further takes a moment."""


def make_ready(book: Book) -> None:
    """Work out what the pages of some cars show; one that cannot be put together says so on its own page.

    Args:
        book: the shop book
    """
    for entry in book.entries("car")[:_MOST]:
        with suppress(JounceError):
            as_found(entry.content)
            car_travel_bands(entry.content)
            _ = car_case(entry.content).found.bands
