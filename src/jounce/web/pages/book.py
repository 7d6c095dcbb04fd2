"""The book: customers, cars and jobs, and the search through them."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.responses import Response

from jounce.book import Entry
from jounce.conventions.errors import InputError
from jounce.web.request import Ask, onward, page
from jounce.web.saving import onward_saved

__all__ = ["add_customer", "show"]


@dataclass(frozen=True, slots=True)
class CarLine:
    """A car of the list with its owner and its jobs."""

    car: Entry
    owner: Entry | None
    jobs: tuple[Entry, ...]

    def has(self, words: str) -> bool:
        """Whether every word is in the name of the car, its owner or a job."""
        names = [self.car.name, *(job.name for job in self.jobs), *([self.owner.name] if self.owner else [])]
        text = " ".join(names).casefold()
        return all(word in text for word in words.casefold().split())


def show(ask: Ask, wrong: str = "") -> Response:
    """The book, or what of it has the words looked for.

    Args:
        ask: the request
        wrong: what is wrong with a new customer
    """
    entries = ask.book.entries()
    by_id = {entry.id: entry for entry in entries}
    lines = [
        CarLine(
            car,
            by_id.get(car.belongs_to or ""),
            tuple(e for e in entries if e.kind == "job" and e.belongs_to == car.id),
        )
        for car in entries
        if car.kind == "car"
    ]
    words = ask.query.get("words", "")[:100]
    customers = [e for e in entries if e.kind == "customer"]
    return page(
        ask,
        "book.html",
        422 if wrong else 200,
        wrong=wrong,
        words=words,
        lines=[line for line in lines if line.has(words)],
        total=len(lines),
        customers=[c for c in customers if all(word in c.name.casefold() for word in words.casefold().split())],
        read_only=ask.book.read_only,
    )


def add_customer(ask: Ask) -> Response:
    """Put a customer in."""
    if not ask.form:
        return onward("/book")
    try:
        kept = ask.book.add("customer", ask.form.get("name", ""), ask.form.get("text", ""))
    except InputError as error:
        return show(ask, str(error))
    return onward_saved("/book", kept)
