"""A copy that is not the book is never told of as one, and nothing of it stays."""

from __future__ import annotations

from contextlib import contextmanager
from types import SimpleNamespace

import pytest

from jounce.book.backup import back_up
from jounce.conventions.errors import InputError


class Bad:
    """A connection to a book whose copies come out wrong."""

    def __init__(self, connection, mistake):
        self._connection = connection
        self._mistake = mistake

    def execute(self, *what):
        return self._connection.execute(*what)

    def backup(self, copy):
        if self._mistake != "nothing is copied":
            self._connection.backup(copy)
            copy.execute(self._mistake)
            copy.commit()


@pytest.mark.parametrize(
    "mistake",
    [
        "nothing is copied",
        "DELETE FROM version WHERE number = 1",
        "UPDATE version SET content = 'other' WHERE number = 2",
        "UPDATE entry SET removed = 1",
        "UPDATE attachment SET content = x'00'",
        "DELETE FROM attachment",
        "DROP TABLE alembic_version",
        "UPDATE alembic_version SET version_num = '0001'",
    ],
)
def test_a_copy_that_differs_is_refused_and_not_kept(book, tmp_path, mistake):
    car = book.add("car", "Brisk", "first")
    book.save(car)
    book.attach(car.id, "photo.jpg", "image/jpeg", b"photo")

    @contextmanager
    def reading():
        with book._reading() as connection:
            yield SimpleNamespace(connection=SimpleNamespace(driver_connection=Bad(connection.connection, mistake)))

    with pytest.raises(InputError, match="not the book"):
        back_up(reading, tmp_path / "copy.db")

    assert [path.name for path in tmp_path.iterdir()] == ["shop.db"]
