"""The board: every job with its state, its car, whose it is and its quotes; and moving a job on it."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace

from jounce.book import Book, Entry, Touched
from jounce.conventions.errors import InputError
from jounce.office.quotes import QuoteInBook, quotes_of
from jounce.quote.progress import JobState, Progress, parse_progress, progress_text

__all__ = ["BoardJob", "begun", "board", "move", "moves_of", "progress_of", "read_day", "today"]


@dataclass(frozen=True, slots=True)
class BoardJob:
    """A job as it stands on the board.

    Attributes:
        job: the job
        car: its car; None for a job without one
        owner: the car's owner; None where none is noted
        progress: how far it has come
        quotes: its quotes, the latest first
        touched: when it, its state or a quote was written last

    """

    job: Entry
    car: Entry | None
    owner: Entry | None
    progress: Progress
    quotes: tuple[QuoteInBook, ...]
    touched: datetime.datetime


def today() -> datetime.date:
    """The day, as the clock of the house has it."""
    return datetime.datetime.now().astimezone().date()


def read_day(text: str) -> datetime.date:
    """A day as it was typed.

    Args:
        text: year, month and day

    Raises:
        InputError: it is no day
    """
    try:
        return datetime.date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(
            "This is no day", found=f'"{text[:20]}"', allowed="year, month and day, as 2031-05-17", todo="Correct it."
        ) from None


def begun(touched: Touched) -> Progress:
    """How far a job has come of which nobody said anything: asked, on the day on which it was put in.

    Args:
        touched: when that was
    """
    return Progress(state=JobState.ASKED, since=touched.begun.astimezone().date())


def board(book: Book) -> list[BoardJob]:
    """All jobs of the book, last touched first.

    Args:
        book: the book
    """
    touched = book.touched()
    cars = {one.id: one for one in book.entries("car")}
    customers = {one.id: one for one in book.entries("customer")}
    progress = {one.belongs_to: one for one in book.entries("progress")}
    quotes = quotes_of(book)
    found = []
    for job in book.entries("job"):
        car = cars.get(job.belongs_to or "")
        own, offered = progress.get(job.id), quotes.get(job.id, ())
        entries = [job, *([own] if own else []), *(one.entry for one in offered)]
        found.append(
            BoardJob(
                job,
                car,
                None if car is None else customers.get(car.belongs_to or ""),
                begun(touched[job.id]) if own is None else parse_progress(own.content),
                offered,
                max(touched[one.id].last for one in entries),
            )
        )
    return sorted(found, key=lambda one: one.touched, reverse=True)


def progress_of(book: Book, job: Entry) -> Progress:
    """How far a job has come.

    Args:
        book: the book
        job: the job
    """
    own = book.entries("progress", job.id)
    return parse_progress(own[0].content) if own else begun(book.touched()[job.id])


def move(book: Book, job: Entry, to: Progress) -> Entry:
    """Put a job into a state; the states before stay in its history.

    Args:
        book: the book
        job: the job
        to: where it stands from now on

    Returns:
        The entry that tells how far the job has come

    Raises:
        InputError: somebody else moved it for the first time at the same moment
        Overtaken: somebody else moved it at the same moment
    """
    own = book.entries("progress", job.id)
    if own:
        now = own[0]
    else:
        try:
            now = book.add("progress", job.name, progress_text(begun(book.touched()[job.id])), job.id, "asked")
        except InputError:
            if not book.entries("progress", job.id):
                raise
            raise InputError(
                "Somebody else moved this job at the same moment", found=job.name, todo="Look at it, then move it."
            ) from None
    text = progress_text(to)
    if text == now.content:
        return now
    return book.save(replace(now, name=job.name, content=text), _note(parse_progress(now.content), to))


def _note(before: Progress, to: Progress) -> str:
    """What is said about a move."""
    told = [str(to.state)] if to.state is not before.state else []
    if to.due != before.due:
        told.append(f"promised for {to.due}" if to.due else "no day promised")
    if to.note != before.note:
        told.append(to.note or "note taken out")
    return ", ".join(told) or f"since {to.since}"


def moves_of(book: Book, job: Entry) -> list[tuple[Progress, datetime.datetime, str]]:
    """All states that a job had, the first one first: each with when it was noted and by whom.

    Args:
        book: the book
        job: the job
    """
    own = book.entries("progress", job.id)
    if not own:
        return []
    versions = [one for one in book.versions(own[0].id) if not one.entry.removed]
    return [(parse_progress(one.entry.content), one.at, one.by) for one in versions]
