"""The book: cars with their jobs, last touched first, customers, and the search through them."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from starlette.responses import Response

from jounce.book import Entry, Touched
from jounce.office.board import BoardJob, board, today
from jounce.quote.customer import Customer, parse_customer
from jounce.web.pages.customer import FIELDS, LINES, add
from jounce.web.request import PageRequest, onward, page
from jounce.web.saving import onward_saved

__all__ = ["add_customer", "show"]


@dataclass(frozen=True, slots=True)
class CarLine:
    """A car of the list with its owner and its jobs, and when any of it was touched last, by whom."""

    car: Entry
    owner: Entry | None
    jobs: tuple[BoardJob, ...]
    last: datetime.datetime
    by: str

    def has(self, words: str) -> bool:
        """Whether every word is in the name of the car, its owner or a job."""
        names = [self.car.name, *(one.job.name for one in self.jobs), *([self.owner.name] if self.owner else [])]
        return _in(" ".join(names), words)


@dataclass(frozen=True, slots=True)
class CustomerLine:
    """A customer of the list with what is noted and the cars."""

    customer: Entry
    noted: Customer
    cars: tuple[Entry, ...]

    def has(self, words: str) -> bool:
        """Whether every word is in the name or the mail address, or the telephone number has its digits."""
        digits = "".join(sign for sign in words if sign.isdigit())
        rings = len(digits) > 2 and not any(sign.isalpha() for sign in words) and digits in self.noted.dialled
        return rings or _in(f"{self.customer.name} {self.noted.email}", words)


def show(ask: PageRequest, wrong: str = "") -> Response:
    """The book, or what of it has the words looked for.

    Args:
        ask: the request
        wrong: what is wrong with a new customer
    """
    entries = ask.book.entries()
    touched = ask.book.touched()
    jobs = board(ask.book)
    customers = {one.id: one for one in entries if one.kind == "customer"}
    lines = [_line(one, customers, jobs, _family(one, entries), touched) for one in entries if one.kind == "car"]
    lines.sort(key=lambda line: line.last, reverse=True)
    words = ask.query.get("words", "")[:100]
    people = [
        CustomerLine(one, parse_customer(one.content), tuple(line.car for line in lines if line.owner == one))
        for one in customers.values()
    ]
    return page(
        ask,
        "book.html",
        422 if wrong else 200,
        wrong=wrong,
        words=words,
        lines=[line for line in lines if line.has(words)],
        total=len(lines),
        customers=[line for line in people if line.has(words)],
        fields=FIELDS,
        lines_of=LINES,
        read_only=ask.book.read_only,
        ago=lambda when: _ago(when.astimezone().date()),
    )


def add_customer(ask: PageRequest) -> Response:
    """Put a customer in."""
    if not ask.form:
        return onward("/book")
    kept, wrong = add(ask)
    return show(ask, wrong) if kept is None else onward_saved(f"/customers/{kept.id}", kept)


def _line(
    car: Entry,
    customers: Mapping[str, Entry],
    jobs: list[BoardJob],
    family: list[Entry],
    touched: Mapping[str, Touched],
) -> CarLine:
    latest = max((touched[one.id] for one in family), key=lambda one: one.last)
    own = tuple(one for one in jobs if one.car == car)
    return CarLine(car, customers.get(car.belongs_to or ""), own, latest.last, latest.by)


def _family(car: Entry, entries: list[Entry]) -> list[Entry]:
    """A car with all that belongs to it or to what belongs to it."""
    found = [car]
    for one in found:  # which grows meanwhile
        found += [entry for entry in entries if entry.belongs_to == one.id]
    return found


def _in(text: str, words: str) -> bool:
    return all(word in text.casefold() for word in words.casefold().split())


def _ago(day: datetime.date) -> str:
    """A day as somebody says it."""
    days = (today() - day).days
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago" if 1 < days < 30 else str(day))
