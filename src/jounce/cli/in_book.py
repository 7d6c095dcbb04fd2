"""What every command on a book takes: the book, who writes, an entry of it."""

from __future__ import annotations

import getpass
from typing import Annotated

import typer

from jounce.book import Book, Entry, EntryKind, open_book
from jounce.conventions.errors import InputError

__all__ = ["BookPlace", "ByWhom", "EntryName", "named_entry", "opened_book"]

BookPlace = Annotated[str, typer.Argument(help="the book: a file, or a PostgreSQL address", metavar="BOOK")]
ByWhom = Annotated[str, typer.Option("--by", help="who writes; your login name when left out")]
EntryName = Annotated[str, typer.Argument(help="an entry: its name, or the beginning of its id", metavar="ENTRY")]


def opened_book(where: str, by: str, *, make: bool = False) -> Book:
    """The book that a command works on.

    Args:
        where: a file, or an address
        by: who writes; the login name when empty
        make: whether to make it where there is none

    Raises:
        InputError: it cannot be opened
    """
    return open_book(where, by or getpass.getuser(), make=make)


def named_entry(opened: Book, wanted: str, kind: EntryKind | None = None) -> Entry:
    """An entry by its name or the beginning of its id.

    Args:
        opened: the book
        wanted: what was typed
        kind: what it must be; any kind, but for how far jobs have come, if not given

    Raises:
        InputError: there is none, or more than one
    """
    entries = [one for one in opened.entries(kind) if kind is not None or one.kind != "progress"]
    found = [e for e in entries if e.name == wanted] or [e for e in entries if e.id.startswith(wanted)]
    if len(found) == 1:
        return found[0]
    many = ", ".join(f"{e.id[:8]} {e.kind} {e.name}" for e in found[:6])
    raise InputError(
        f"No such {kind or 'entry'}" if not found else f"More than one {kind or 'entry'} is called so",
        found=f"{wanted}: {many}" if found else wanted,
        todo="Look it up with `jounce book list` and give the beginning of its id.",
        place=opened.place,
    )
