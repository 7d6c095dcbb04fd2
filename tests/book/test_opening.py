"""Opening refuses politely what it cannot trust, and brings older books up to date."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from contextlib import ExitStack, closing
from pathlib import Path

import pytest
from sqlalchemy.exc import OperationalError

from jounce.book import open_book
from jounce.cli.book import list_entries
from jounce.conventions.errors import InputError

SCHEMAS = Path(__file__).parent / "schemas"


def test_there_is_no_book_unless_one_is_made(tmp_path):
    with pytest.raises(InputError, match="no such book"):
        open_book(tmp_path / "shop.db", "Ann")
    with pytest.raises(InputError, match="no such folder"):
        open_book(tmp_path / "nowhere" / "shop.db", "Ann", make=True)
    with pytest.raises(InputError, match="who writes"):
        open_book(tmp_path / "shop.db", "  ", make=True)
    with pytest.raises(InputError, match="PostgreSQL"):
        open_book("mysql://host/book", "Ann")
    assert list(tmp_path.iterdir()) == []


def test_what_is_no_database_is_left_alone(tmp_path):
    path = tmp_path / "shop.db"
    path.write_bytes(b"these are holiday photos, not a book at all" * 50)
    with pytest.raises(InputError, match="cannot be opened"):
        open_book(path, "Ann")

    assert path.read_bytes().startswith(b"these are holiday photos")


def test_another_program_s_database_is_left_alone(tmp_path):
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE music (title TEXT)")
        other.commit()
    before = path.read_bytes()
    with pytest.raises(InputError, match="no shop book"):
        open_book(path, "Ann")

    assert path.read_bytes() == before


def test_a_damaged_book_is_refused(book):
    for k in range(200):
        book.add("car", f"car {k}", "content " * 40)
    book.close()
    path = Path(book.place)
    content = bytearray(path.read_bytes())
    for page in range(3, len(content) // 4096, 2):
        content[page * 4096 : page * 4096 + 512] = os.urandom(512)
    path.write_bytes(content)
    with pytest.raises(InputError, match=r"damaged|cannot be opened"):
        open_book(path, "Ann")

    assert path.read_bytes() == bytes(content)


def test_a_newer_book_is_refused_and_left_alone(book):
    book.close()
    with closing(sqlite3.connect(book.place)) as newer:
        newer.execute("UPDATE alembic_version SET version_num = '9999'")
        newer.commit()
    before = Path(book.place).read_bytes()
    with pytest.raises(InputError, match="newer version of the program"):
        open_book(book.place, "Ann")

    assert Path(book.place).read_bytes() == before


@pytest.mark.parametrize("content", [b"", "an empty database"])
def test_an_empty_file_is_left_alone_unless_a_book_is_made(tmp_path, content):
    path = tmp_path / "shop.db"
    path.write_bytes(content if isinstance(content, bytes) else b"")
    if isinstance(content, str):
        with closing(sqlite3.connect(path)) as empty:
            empty.execute("PRAGMA user_version = 7")
    before = path.read_bytes()
    with pytest.raises(InputError, match="no book yet"):
        open_book(path, "Ann")
    with pytest.raises(InputError, match="no book yet"):
        list_entries(str(path))

    assert path.read_bytes() == before
    open_book(path, "Ann", make=True).close()
    open_book(path, "Ann").close()


def test_only_its_owner_reads_a_book_and_its_copies(tmp_path):
    path, old = tmp_path / "shop.db", tmp_path / "old.db"
    book = open_book(path, "Ann", make=True)
    book.back_up(tmp_path / "copy.db")
    with closing(sqlite3.connect(old)) as older:
        older.executescript((SCHEMAS / "0001.sql").read_text(encoding="utf-8"))
    open_book(old, "Ann").close()

    for name in ("shop.db", "copy.db", "old-form-0001-1.db"):
        assert (tmp_path / name).stat().st_mode & 0o777 == 0o600, name


def test_a_book_that_cannot_be_made_leaves_nothing(tmp_path, monkeypatch):
    def full(*_):
        raise OperationalError("INSERT", None, Exception("database or disk is full"))

    monkeypatch.setattr("jounce.book.opening.command.upgrade", full)
    with pytest.raises(InputError, match="disk is full"):
        open_book(tmp_path / "shop.db", "Ann", make=True)
    with pytest.raises(InputError, match="cannot be made"):
        open_book(Path("/proc") / "shop.db", "Ann", make=True)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write any file")
def test_a_book_that_may_only_be_read_is_read(book):
    car = book.add("car", "Brisk", "")
    book.close()
    Path(book.place).chmod(0o444)
    read = open_book(book.place, "Ann")

    assert read.entries() == [car]
    with pytest.raises(InputError, match="may only be read"):
        read.add("car", "other", "")


def test_a_book_told_to_be_read_only_refuses_to_write(book):
    book.read_only = True
    with pytest.raises(InputError, match="may only be read"):
        book.add("car", "other", "")


@pytest.mark.parametrize("schema", sorted(SCHEMAS.glob("*.sql")), ids=lambda path: path.stem)
def test_a_book_of_every_released_form_opens_with_all_that_is_in_it(schema, tmp_path):
    path = tmp_path / "old.db"
    with closing(sqlite3.connect(path)) as old:
        old.executescript(schema.read_text(encoding="utf-8"))
    opened = open_book(path, "Ann")
    (car,) = opened.entries("car")

    assert (car.name, car.content, car.number) == ("Brisk 14", "second", 2)
    assert [version.by for version in opened.versions(car.id)] == ["Ann", "Ben"]
    assert opened.content_of(opened.attachments(car.id)[0].id) == b"photo"
    opened.save(car)


def test_a_book_of_the_second_form_keeps_what_was_taken_out(tmp_path):
    path = tmp_path / "old.db"
    with closing(sqlite3.connect(path)) as old:
        old.executescript((SCHEMAS / "0002.sql").read_text(encoding="utf-8"))
    opened = open_book(path, "Ann")
    (car,) = opened.entries("car")
    kept, gone = opened.attachments(car.id, removed=True)

    assert (kept.removed_by, gone.removed_by) == ("", "Ben")
    assert [entry.name for entry in opened.entries("shop")] == ["Demo Workshop"]
    with pytest.raises(InputError):
        opened.add("shop", "a second", "")


def test_a_book_of_the_first_form_takes_one_shop_once_it_is_brought_up_to_date(tmp_path):
    path = tmp_path / "old.db"
    with closing(sqlite3.connect(path)) as old:
        old.executescript((SCHEMAS / "0001.sql").read_text(encoding="utf-8"))
    opened = open_book(path, "Ann")
    opened.add("shop", "ours", "")
    with pytest.raises(InputError):
        opened.add("shop", "a second", "")


UPDATER = """
import sys
from jounce.book import open_book
print("ready", flush=True)
for line in sys.stdin:
    book = open_book(line.strip(), "updater", make=True)
    print([entry.content for entry in book.entries()], flush=True)
    book.close()
"""


@pytest.mark.sweep(1)
@pytest.mark.parametrize("made", ["older", "new"])
def test_several_that_open_a_book_at_once_bring_it_up_to_date_once(tmp_path, made):
    command = [sys.executable, "-c", UPDATER]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True, "encoding": "utf-8"}
    with ExitStack() as ending:
        started = [ending.enter_context(subprocess.Popen(command, **pipes)) for _ in range(5)]  # noqa: S603
        for updater in started:
            assert updater.stdout.readline() == "ready\n"
        for turn in range(4):
            path = tmp_path / f"{turn}" / "shop.db"
            path.parent.mkdir()
            if made == "older":
                with closing(sqlite3.connect(path)) as old:
                    old.executescript((SCHEMAS / "0001.sql").read_text(encoding="utf-8"))
                    old.execute("UPDATE attachment SET content = zeroblob(20000000)")  # so that a copy takes its time
                    old.commit()
            for updater in started:
                updater.stdin.write(f"{path}\n")
                updater.stdin.flush()
            told = [updater.stdout.readline() for updater in started]

            assert set(told) == {"['second']\n" if made == "older" else "[]\n"}
            copies = ["shop-form-0001-1.db", "shop.db"] if made == "older" else ["shop.db"]
            assert sorted(one.name for one in path.parent.iterdir()) == copies
            if made == "older":
                with closing(sqlite3.connect(path.with_name(copies[0]))) as kept:
                    assert kept.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]
    assert [updater.returncode for updater in started] == [0] * 5
