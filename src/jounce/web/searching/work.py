"""The package search as long work, on the parts that a book has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jounce.book import Book
from jounce.car.file.document import CarDocument
from jounce.conventions.errors import Impossible, InputError
from jounce.job.document import JobDocument
from jounce.search.build import search_space
from jounce.search.result import Result, SearchWishes
from jounce.search.run import search
from jounce.search.slots import Choosy, slot_named
from jounce.search.workers import own_processes
from jounce.shelf.book_entries import shelf_of
from jounce.shelf.shelf import Shelf
from jounce.web.background import TaskControl

__all__ = ["Searched", "searched", "shelf_in"]

_GATHERING = 0.08  # share of the time that goes by before the first package


@dataclass(frozen=True, slots=True)
class Searched:
    """A search and the shelf that it looked at."""

    result: Result
    shelf: Shelf


def searched(  # what a search depends on, each by itself
    pair: tuple[JobDocument, CarDocument],
    places: Sequence[str],
    choosy: Choosy,
    wanted: SearchWishes,
    shelf: Shelf,
    hand: TaskControl,
) -> Searched:
    """Search the packages of a job.

    Args:
        pair: the job and its car
        places: names of the places for which parts are looked for
        choosy: which parts are looked at
        wanted: goals and limits
        shelf: the parts
        hand: hears progress, says when to stop

    Raises:
        InputError: a car for which packages cannot be searched, or no such place
        Impossible: it was stopped before any package was judged, or no choice of parts keeps the limits
    """
    hand.tell(0.01, "gathering the parts that fit")
    job, car = pair
    space = search_space(car, job, shelf, [slot_named(name) for name in places], choosy)
    if hand.stopped():
        raise Impossible("It was stopped before any package was judged.")

    def told(share: float) -> None:
        hand.tell(_GATHERING + (1 - _GATHERING) * share, "judging packages")

    with own_processes() as workers:
        return Searched(search(space, wanted, workers, told, hand.stopped), shelf)


def shelf_in(book: Book) -> Shelf:
    """The shelf of a book, fit to be searched.

    Args:
        book: the book

    Raises:
        InputError: it is empty, or its prices cannot be added
    """
    shelf = shelf_of(part.content for part in book.entries("part"))
    if not shelf.parts:
        raise InputError("The shelf is empty", todo="Fill it from a file on the shelf's page, then search.")
    currencies = sorted({part.currency for part in shelf.parts if part.price is not None})
    if len(currencies) > 1:
        raise InputError(
            "The shelf has prices in several currencies, which cannot be added",
            found=", ".join(currencies),
            todo="Put all prices in the currency of the shop.",
        )
    return shelf
