"""Copies of a book, taken while it is in use."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from jounce.conventions.errors import InputError


def back_up(book: Path, to: Path) -> None:
    """Copy a whole book into a new file, sound even while others write in it.

    Args:
        book: the book's file
        to: the copy; must not exist

    Raises:
        InputError: the copy's name is taken, or its folder does not exist
    """
    if to.exists():
        raise InputError("There is a file of this name already", todo="Choose another name.", place=str(to))
    if not to.parent.is_dir():
        raise InputError("There is no such folder", todo="Make the folder first.", place=str(to.parent))
    unfinished = to.with_name(to.name + ".unfinished")
    with (
        closing(sqlite3.connect(f"file:{book}?mode=ro", uri=True)) as source,
        closing(sqlite3.connect(unfinished)) as copy,
    ):
        source.backup(copy)
    unfinished.rename(to)


def copy_beside(book: Path, form: str) -> Path:
    """Keep a book as it was before it is brought up to date.

    Args:
        book: the book's file
        form: form that it has

    Returns:
        The copy
    """
    number = 1
    while (copy := book.with_name(f"{book.stem}-form-{form}-{number}{book.suffix}")).exists():
        number += 1
    back_up(book, copy)
    return copy
