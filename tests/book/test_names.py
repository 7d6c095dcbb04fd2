"""A book is the file that was named, whatever signs are in its name, and so is each copy of it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from jounce.book import open_book
from jounce.cli.book import backup
from jounce.conventions.errors import InputError

SCHEMAS = Path(__file__).parent / "schemas"
SIGNS = [
    "yard #2",
    "which?",
    "which?mode=memory",
    "%41",
    "50 %",
    "a%20b",
    ":memory:",
    "file:shop",
    "a&b=c;d",
    'it\'s "ours"',
    "Fähre 7",
    "a\\b",
]


@pytest.fixture(params=SIGNS)
def named(request, tmp_path):
    """A file's name in a folder's, both with the sign."""
    folder = tmp_path / request.param
    folder.mkdir()
    return folder / f"{request.param}.db"


def names_in(folder):
    return sorted(path.relative_to(folder) for path in folder.rglob("*"))


def test_a_book_is_kept_under_its_very_name(named, tmp_path):
    open_book(named, "Ann", make=True).add("car", "Brisk", "measured")

    assert names_in(tmp_path) == sorted([named.parent.relative_to(tmp_path), named.relative_to(tmp_path)])
    assert [entry.content for entry in open_book(str(named), "Ben").entries()] == ["measured"]


def test_a_backup_holds_the_book(named, capsys):
    book = open_book(named, "Ann", make=True)
    car = book.add("car", "Brisk", "measured")
    book.attach(car.id, "photo.jpg", "image/jpeg", b"photo")
    copy = named.with_name(named.name + " copy")
    backup(str(named), copy)

    assert capsys.readouterr().out == f"The copy is in {copy}: 1 entries, 1 files; it was compared with the book.\n"
    assert names_in(named.parent) == [Path(named.name), Path(copy.name)]
    again = open_book(copy, "Ben")
    assert again.entries() == book.entries()
    assert again.versions(car.id) == book.versions(car.id)
    assert again.content_of(again.attachments(car.id)[0].id) == b"photo"


def test_the_copy_from_before_an_update_holds_the_older_book(named):
    with closing(sqlite3.connect(named.absolute())) as old:
        old.executescript((SCHEMAS / "0001.sql").read_text(encoding="utf-8"))
    open_book(named, "Ann").close()
    copy = named.with_name(f"{named.stem}-form-0001-1{named.suffix}")

    assert names_in(named.parent) == sorted([Path(named.name), Path(copy.name)])
    with closing(sqlite3.connect(copy.absolute())) as kept:
        assert kept.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]
        assert kept.execute("SELECT content FROM version ORDER BY number").fetchall() == [("first",), ("second",)]


def test_a_file_is_named_plainly_and_not_by_an_address(tmp_path):
    with pytest.raises(InputError, match="A book is a file or a PostgreSQL database"):
        open_book(f"sqlite:///{tmp_path}/shop.db", "Ann", make=True)
    assert names_in(tmp_path) == []
