"""Opening a book: making a new one, bringing an older one up to date, refusing what cannot be trusted."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, DatabaseError, SQLAlchemyError

from jounce.book.backup import copy_beside
from jounce.book.book import READING, Book
from jounce.conventions.errors import InputError

_MIGRATIONS = Path(__file__).parent / "migrations"
_BUSY = 10.0  # how long one waits for another's change [s]
_ONE_AT_A_TIME = 20_260_302  # a lock of the server that only this program knows


def open_book(where: str | Path, by: str, *, make: bool = False) -> Book:
    """Open a book.

    Args:
        where: a file, or the URL of a PostgreSQL database
        by: who writes in it, for the record of changes
        make: whether to make a new book where there is none

    Returns:
        The book, of today's form; a book that was older has a copy of how it was beside it

    Raises:
        InputError: there is no book, or it is damaged, newer than this program, or not a book at all
    """
    if not by.strip():
        raise InputError("A book wants to know who writes", todo="Give a name: every change is kept with it.")
    is_url = "://" in str(where)
    place = _without_password(str(where)) if is_url else str(where)
    path = None if is_url else Path(where)
    if path is not None and not path.exists() and not make:
        raise InputError("There is no such book", todo="Check the name, or make a new one.", place=place)
    if path is not None and not path.parent.is_dir():
        raise InputError("There is no such folder", todo="Make the folder first.", place=str(path.parent))
    is_new = path is not None and make and _made(path)
    engine = _on_server(str(where), place) if path is None else _in_file(path)
    try:
        read_only = path is not None and path.exists() and not os.access(path, os.W_OK)
        _check(engine, place, read_only=read_only, path=path, make=make)
    except BaseException as error:
        engine.dispose()
        if path is not None and is_new:
            path.unlink(missing_ok=True)
        if isinstance(error, DatabaseError):
            raise _unreadable(place, error) from None
        raise
    return Book(engine, place, by.strip(), read_only=read_only)


def _made(path: Path) -> bool:
    """Make an empty file that its owner alone may read; False where there is a file already."""
    try:
        path.touch(0o600, exist_ok=False)
    except FileExistsError:
        return False
    except OSError as error:
        todo = "Choose a folder that may be written to."
        raise InputError(f"The book cannot be made ({error.strerror})", todo=todo, place=str(path)) from None
    return True


def _in_file(path: Path) -> Engine:
    """A database in a file; its name is taken as it stands, whatever signs are in it."""
    engine = create_engine(URL.create("sqlite", database=str(path.absolute())), connect_args={"timeout": _BUSY})
    event.listen(engine, "connect", _as_kept_for_years)
    event.listen(engine, "begin", _begin_at_once)
    return engine


def _without_password(url: str) -> str:
    """The address as it may be shown."""
    try:
        return make_url(url).render_as_string(hide_password=True)
    except ArgumentError:
        return url.partition("://")[0] + "://…"


def _on_server(url: str, place: str) -> Engine:
    """A database on a server; its driver is installed only where one is wanted."""
    try:
        address = make_url(url)
        if address.get_backend_name() != "postgresql":
            raise _no_such_kind(place)
        return create_engine(address.set(drivername="postgresql+psycopg"), pool_pre_ping=True)
    except ArgumentError:
        raise _no_such_kind(place) from None
    except ModuleNotFoundError:
        raise InputError(
            "The driver for PostgreSQL is not installed",
            todo="Install the program with it: pip install 'jounce[postgresql]'.",
            place=place,
        ) from None


def _no_such_kind(place: str) -> InputError:
    return InputError(
        "A book is a file or a PostgreSQL database",
        found=place,
        allowed="a file name, or postgresql://user@host/name",
        todo="Correct the address.",
    )


def _as_kept_for_years(connection: Any, _record: object) -> None:
    """What was acknowledged is on the disk, the folder's own entry of it too, and references hold."""
    connection.isolation_level = None  # transactions are begun by us, see below
    cursor = connection.cursor()
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute("PRAGMA synchronous = EXTRA")
    cursor.close()


def _begin_at_once(connection: Connection) -> None:
    """Two that write wait for each other at the start, not half-way; those who read wait for nobody."""
    reading = connection.get_execution_options().get(READING, False)
    connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")


def _check(engine: Engine, place: str, *, read_only: bool, path: Path | None, make: bool) -> None:
    config = Config()
    config.set_main_option("script_location", str(_MIGRATIONS))
    scripts = ScriptDirectory.from_config(config)
    with engine.execution_options(**{READING: True}).begin() as connection:
        if engine.dialect.name == "sqlite":
            _check_soundness(connection, place)
        found = _form(connection, scripts, place)
        if found == scripts.get_current_head():
            return
    if found is None and not make:
        todo = "Check the name; take an empty file away, then make a new book."
        if path is None:
            todo = "Check the address, or make a new book there."
        raise InputError("There is nothing in it: this is no book yet", todo=todo, place=place)
    if read_only:
        raise InputError("This book is of an older form and may only be read", todo="Make it writable.", place=place)
    with engine.begin() as connection:  # from here on this one alone writes
        if engine.dialect.name == "postgresql":
            connection.execute(text(f"SELECT pg_advisory_xact_lock({_ONE_AT_A_TIME})"))
        found = _form(connection, scripts, place)
        if found == scripts.get_current_head():  # somebody else brought it up to date meanwhile
            return
        if found is not None and path is not None:
            copy_beside(lambda: engine.execution_options(**{READING: True}).connect(), path, found)
        config.attributes["connection"] = connection
        command.upgrade(config, "head")


def _form(connection: Connection, scripts: ScriptDirectory, place: str) -> str | None:
    """The form that a book has; None for an empty database."""
    found = MigrationContext.configure(connection).get_current_revision()
    if found is None and inspect(connection).get_table_names():
        raise InputError(
            "This is a database, but no shop book",
            found=place,
            todo="Check the name; make a new book under another one.",
        )
    if found is not None and found not in {script.revision for script in scripts.walk_revisions()}:
        raise InputError(
            "This book was written by a newer version of the program",
            found=f"form {found}",
            allowed=f"up to form {scripts.get_current_head()}",
            todo="Use the newer version; nothing was changed.",
            place=place,
        )
    return found


def _check_soundness(connection: Connection, place: str) -> None:
    told = [row[0] for row in connection.execute(text("PRAGMA quick_check"))]
    if told != ["ok"]:
        raise InputError(
            "This book is damaged",
            found=str(told[0]),
            todo="Leave the file as it is and go back to the latest backup; keep the damaged one.",
            place=place,
        )


def _unreadable(place: str, error: SQLAlchemyError) -> InputError:
    reason = str(getattr(error, "orig", error)).splitlines()[0]
    on_server = "://" in place
    return InputError(
        "This book cannot be opened",
        found=reason,
        todo="Check the address, and that the server runs and lets you in."
        if on_server
        else "Check the name; if it is the right one, leave it as it is and go back to the latest backup.",
        place=place,
    )
