"""Copies of a book, taken while it is in use, and told of only when they were read back and found the same."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import AbstractContextManager, closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection

from jounce.car.file.writing import sync_folder
from jounce.conventions.errors import InputError

Reading = Callable[[], AbstractContextManager[Connection]]
"""Begins to read in the book that is copied."""


@dataclass(frozen=True, slots=True)
class Copied:
    """How many entries and attached files a copy holds, those that were taken out too."""

    entries: int
    files: int


def back_up(reading: Reading, to: Path) -> Copied:
    """Copy a whole book into a new file, sound even while others write in it.

    The book is read through the connection that it is used by, so that its name is never looked up a second time. The
    copy is opened again, checked, and compared row by row before it gets its name.

    Args:
        reading: begins to read in the book, a file
        to: the copy; must not exist

    Returns:
        What the copy holds

    Raises:
        InputError: the copy's name is taken, its folder does not exist or may not be written to, the disk is full, or
            what was written is not the book
    """
    if to.exists() or to.is_symlink():
        raise InputError("There is a file of this name already", todo="Choose another name.", place=str(to))
    if not to.parent.is_dir():
        raise InputError("There is no such folder", todo="Make the folder first.", place=str(to.parent))
    try:
        with tempfile.TemporaryDirectory(dir=to.parent, prefix=f".{to.name}.") as folder:
            unfinished = Path(folder) / to.name
            copied = _compared_copy(reading, unfinished)
            unfinished.rename(to)
            sync_folder(to.parent)
    except (OSError, sqlite3.Error) as error:
        reason = getattr(error, "strerror", None) or str(error)
        todo = "Check that its folder may be written to and that the disk has room; nothing was left there."
        raise InputError(f"The copy cannot be written ({reason})", todo=todo, place=str(to)) from None
    return copied


def copy_beside(reading: Reading, book: Path, form: str) -> Path:
    """Keep a book as it was before it is brought up to date.

    Args:
        reading: begins to read in the book
        book: the book's file
        form: form that it has

    Returns:
        The copy
    """
    number = 1
    while (copy := book.with_name(f"{book.stem}-form-{form}-{number}{book.suffix}")).exists():
        number += 1
    back_up(reading, copy)
    return copy


def _compared_copy(reading: Reading, to: Path) -> Copied:
    to.touch(0o600)  # only its owner may read it
    with closing(sqlite3.connect(to)) as copy, reading() as connection:
        source: Any = connection.connection.driver_connection
        rows = _rows(source)  # from here on the book stands still for this connection
        source.backup(copy)
    with closing(sqlite3.connect(to)) as copy:
        sound = [row[0] for row in copy.execute("PRAGMA integrity_check")] == ["ok"]
        if (
            not sound
            or _rows(copy) != rows
            or not all(_same_content(reading, copy, row[0]) for row in rows["attachment"])
        ):
            raise InputError(
                "What was written is not the book",
                todo="Nothing was kept of it. Try again, on another disk if there is one.",
                place=str(to.parent.parent / to.name),
            )
    return Copied(len(rows["entry"]), len(rows["attachment"]))


def _rows(connection: sqlite3.Connection) -> dict[str, list[tuple[object, ...]]]:
    """All rows of all tables, but for the contents of attached files."""
    tables = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
    rows = {}
    for table in tables:
        told = connection.execute("SELECT name FROM pragma_table_info(?) WHERE type <> 'BLOB'", (table,))
        columns = ", ".join(f'"{row[0]}"' for row in told)
        rows[table] = connection.execute(f'SELECT {columns} FROM "{table}" ORDER BY rowid').fetchall()  # noqa: S608 - names from the book's own list
    return rows


def _same_content(reading: Reading, copy: sqlite3.Connection, file: object) -> bool:
    """Whether an attached file is the same in both; a file never changes, so the book need not stand still for it."""
    wanted = "SELECT content FROM attachment WHERE id = ?"
    with reading() as connection:
        source: Any = connection.connection.driver_connection
        return bool(source.execute(wanted, (file,)).fetchone() == copy.execute(wanted, (file,)).fetchone())
