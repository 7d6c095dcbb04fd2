"""The rows of a book, past the code that keeps it: in a file and on a server alike."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, create_engine, make_url, select
from sqlalchemy.pool import NullPool

from jounce.book.book import Book
from jounce.book.tables import attachment, entry, version

KEPT = (entry, version, attachment)


@contextmanager
def rows_of(book: Book) -> Iterator[Connection]:
    """A connection of one's own to the book's database; what was changed is kept at its end."""
    server = book.place.startswith("postgresql:")
    url = make_url(book.place).set(drivername="postgresql+psycopg") if server else f"sqlite:///{book.place}"
    with create_engine(url, poolclass=NullPool).begin() as connection:
        yield connection


def everything(book: Book) -> dict[str, list[str]]:
    """All rows of the book."""
    with rows_of(book) as rows:
        return {table.name: sorted(repr(tuple(row)) for row in rows.execute(select(table))) for table in KEPT}
