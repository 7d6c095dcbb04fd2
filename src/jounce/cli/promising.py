"""What a command's sheet promises, kept in the ledger of the shop book in which the job stands."""

from __future__ import annotations

from pathlib import Path

import typer

from jounce.book import Book, Entry
from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.conventions.errors import JounceError
from jounce.job.file import parse_job
from jounce.sheets.promise import PROMISING, promised_by

__all__ = ["keep_promises", "keep_promises_of_file", "pair_in_book"]


def pair_in_book(opened: Book, case: Case) -> tuple[Entry, Entry] | None:
    """The job of a case and its car, where the book has both as they are in it; the latest of several.

    Args:
        opened: the book
        case: a car, with or without a job
    """
    if case.job is None:
        return None
    for job in reversed(opened.entries("job")):
        try:
            if job.belongs_to is None or parse_job(job.content, job.name) != case.job:
                continue
            car = opened.entry(job.belongs_to)
            if parse_car(car.content, car.name) == case.car:
                return job, car
        except JounceError:
            continue  # an entry that is not finished is not what was printed
    return None


def keep_promises(opened: Book, kind: str, case: Case, pair: tuple[Entry, Entry] | None) -> None:
    """Keep what a sheet promises; nothing where it promises nothing or its job is not in the book.

    Args:
        opened: the book
        kind: word of the kind of sheet
        case: the car and the job that were printed
        pair: the job and its car in the book
    """
    if pair is not None and kind in PROMISING and not opened.read_only:
        opened.promise(kind, *pair, promised_by(case))


def keep_promises_of_file(opened: Book, kind: str, case: Case, file: Path) -> None:
    """Keep what a sheet of a file promises, or say on the screen that the book keeps nothing of it.

    Args:
        opened: the book
        kind: word of the kind of sheet
        case: the car and the job that were printed
        file: the file of the job
    """
    pair = pair_in_book(opened, case)
    keep_promises(opened, kind, case, pair)
    if pair is None and kind in PROMISING:
        typer.echo(
            f"Its ledger keeps nothing: {file} is not in {opened.place} as it is here. Keep it there first.", err=True
        )
