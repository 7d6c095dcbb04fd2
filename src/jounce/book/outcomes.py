"""What became of the promises in a book: each measurement of a job set beside what its sheets had said before."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jounce.book.book import Book
from jounce.book.entries import Entry
from jounce.book.promises import Promise
from jounce.conventions.errors import JounceError
from jounce.ledger.outcome import Outcome
from jounce.measuring.afterwards import FoundNumber, found_in

__all__ = ["PromisesFound", "promises_found"]


@dataclass(frozen=True, slots=True)
class PromisesFound:
    """What was promised and what was found.

    Attributes:
        promised: how many numbers were promised, each once for each job
        outcomes: those that were found, by the first measurement after the promise; the earliest first
        again: measurements of the same numbers later on, when the car had settled or had been corrected

    """

    promised: int
    outcomes: tuple[Outcome, ...]
    again: tuple[Outcome, ...]


def promises_found(book: Book, job: str | None = None) -> PromisesFound:
    """Set everything that was measured after the work beside what was promised before it.

    Args:
        book: the shop book
        job: only this job
    """
    by_job: dict[str, list[Promise]] = {}
    for promise in book.promises(job):
        by_job.setdefault(promise.job, []).append(promise)
    first: list[Outcome] = []
    again: list[Outcome] = []
    for owner, promises in by_job.items():
        seen: set[str] = set()
        for entry, at in _measured(book, owner):
            for key, found in _found(entry):
                last = _latest(promises, key, at)
                if last is not None:
                    day = at.astimezone().date()
                    outcome = Outcome(owner, last.promised, found.value, found.plus_minus, day)
                    (again if key in seen else first).append(outcome)
                    seen.add(key)
    count = sum(len({one.promised.key for one in promises}) for promises in by_job.values())
    return PromisesFound(count, tuple(sorted(first, key=lambda one: one.when)), tuple(again))


def _measured(book: Book, job: str) -> list[tuple[Entry, datetime.datetime]]:
    """Measurements of a job with when they were written first, in that order."""
    entries = [(entry, book.versions(entry.id)[0].at) for entry in book.entries("measurement", job)]
    return sorted(entries, key=lambda one: one[1])


def _found(entry: Entry) -> Iterator[tuple[str, FoundNumber]]:
    """What stands in a measurement; nothing in one that is something else."""
    try:
        yield from found_in(entry.content, entry.name).items()
    except JounceError:
        return


def _latest(promises: Sequence[Promise], key: str, at: datetime.datetime) -> Promise | None:
    """What was promised last before a number was measured."""
    before = [one for one in promises if one.promised.key == key and one.at <= at]
    return before[-1] if before else None
