"""A copy that is not the book is never told of as one, and nothing of it stays."""

from __future__ import annotations

import subprocess
import sys
from contextlib import contextmanager
from types import SimpleNamespace

import pytest

from jounce.book.backup import back_up
from jounce.book.exchange import write_out
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


FULL = """
import resource, sys
from pathlib import Path
from jounce.book import open_book
from jounce.book.exchange import write_out
from jounce.conventions.errors import InputError
book = open_book(sys.argv[1], "Ann")
resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))  # as a disk with little room
for act in (lambda to: book.back_up(to), lambda to: write_out(book, to)):
    try:
        act(Path(sys.argv[2]))
    except InputError as error:
        print(error)
"""


def test_a_full_disk_is_told_and_leaves_nothing_of_a_copy_or_an_export(book, tmp_path):
    car = book.add("car", "Brisk", "")
    book.attach(car.id, "photo.jpg", "image/jpeg", b"x" * 300_000)
    command = [sys.executable, "-c", FULL, book.place, str(tmp_path / "out")]
    told = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)  # noqa: S603

    assert told.stderr == ""
    first, second = told.stdout.splitlines()
    assert "out: The copy cannot be written" in first
    assert "out: The entries cannot be written" in second
    assert [path.name for path in tmp_path.iterdir()] == ["shop.db"]
    book.back_up(tmp_path / "out")  # its name was not taken meanwhile
    write_out(book, tmp_path / "out2")


@pytest.mark.parametrize("folder", ["/proc", "a file"])
def test_a_folder_that_may_not_be_written_to_is_told(book, tmp_path, folder):
    (tmp_path / "a file").write_text("")
    place = tmp_path / folder / "out"
    with pytest.raises(InputError, match=r"cannot be (written|made)|no such folder"):
        book.back_up(place)
    with pytest.raises(InputError, match=r"cannot be (written|made)"):
        write_out(book, place)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a file", "shop.db"]


def test_what_an_earlier_program_left_unfinished_blocks_no_name(book, tmp_path):
    (tmp_path / "out.unfinished").mkdir()
    (tmp_path / "copy.db.unfinished").write_bytes(b"half")
    write_out(book, tmp_path / "out")
    book.back_up(tmp_path / "copy.db")
    assert (tmp_path / "out").is_dir()
