"""The parts shelf: what there is and what fits which car; filled from a file, TOML or CSV, all parts or none."""

from __future__ import annotations

import re

from starlette.responses import Response

from jounce.book import Book, Entry
from jounce.car.file.document import CarDocument
from jounce.conventions.errors import InputError
from jounce.conventions.typed import whole
from jounce.shelf.book_entries import documents_of, part_of
from jounce.shelf.csv_in import parse_csv
from jounce.shelf.describe import known_rows, price_of, stock_of
from jounce.shelf.fit.reason import FitVerdict
from jounce.shelf.fit.to_car import fit
from jounce.shelf.kinds import KINDS
from jounce.shelf.parse import Reading
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml
from jounce.web.case_cache import car_read
from jounce.web.request import PageRequest, onward, page

__all__ = ["show"]

_LONGEST_TO_MEND = 900_000
"""Characters of a text that a page gives back to be mended."""
_COUNTS = ("new", "changed", "same")


def show(ask: PageRequest) -> Response:
    """The parts, chosen by kind, words, stock and car; a file or its mended text fills the shelf."""
    text = ask.uploaded()
    if text is not None:
        return _fill(ask, text)
    if ask.form.get("text", "").strip():
        return _fill(ask, ask.form["text"])
    if ask.form:
        raise InputError("No file was chosen", todo="Choose a shelf file, then read it.")
    return _list(ask)


def _list(ask: PageRequest) -> Response:
    cars = ask.book.entries("car")
    kind, words, car_id = (ask.query.get(name, "") for name in ("kind", "words", "car"))
    chosen = next((car for car in cars if car.id == car_id), None)
    document = None if chosen is None else car_read(chosen.content)
    every = [(entry, part_of(entry.content)) for entry in ask.book.entries("part")]
    lines = [
        (entry, part, price_of(part), stock_of(part), "" if document is None else _fit_words(part, document))
        for entry, part in every
        if kind in {"", part.KIND}
        and all(word in f"{part.code} {part.name} {part.maker}".casefold() for word in words.casefold().split())
        and (part.stock or "stock" not in ask.query)
    ]
    if document is not None and "all" not in ask.query:
        lines = [line for line in lines if line[4] != FitVerdict.DOES_NOT_FIT.value]
    return page(
        ask,
        "shelf.html",
        lines=lines,
        total=len(every),
        kinds=KINDS,
        cars=cars,
        known=known_rows,
        chosen=chosen,
        jobs=_searchable_jobs(ask.book, cars, chosen),
        filled=[ask.query[name] for name in _COUNTS if whole(ask.query.get(name, "")) is not None],
    )


def _fill(ask: PageRequest, text: str) -> Response:
    """Keep the parts of a text; if some are wrong, all that is wrong is told first, and the good ones wait for a word."""
    kind = ask.form.get("kind", "")
    reading = _reading(text, kind if kind in KINDS else "")
    if reading.problems and not (ask.form.get("keep") == "good" and reading.good.parts):
        return page(
            ask,
            "shelf_wrong.html",
            422,
            problems=reading.problems,
            good=len(reading.good.parts),
            text=text if len(text) < _LONGEST_TO_MEND else "",
            kinds=KINDS,
            kind=kind,
        )
    filled = ask.book.fill("part", documents_of(reading.good), "from a file")
    return onward(f"/shelf?new={filled.new}&changed={filled.changed}&same={filled.same}")


def _reading(text: str, kind: str) -> Reading:
    """The text as far as it is sound; one that cannot be read at all is told as its only problem."""
    try:
        return parse_csv(text, "the file", kind) if _is_csv(text) else parse_toml(text, "the file")
    except InputError as problem:
        return Reading(Shelf(), (problem,))


def _is_csv(text: str) -> bool:
    """A table's first line parts heads by a sign; a TOML file begins with a comment, a table or a key."""
    head = next((line.strip() for line in text.splitlines() if line.strip()), "")
    return not head.startswith(("#", "[")) and "=" not in head and re.search(r"[;,\t]", head) is not None


def _searchable_jobs(book: Book, cars: list[Entry], chosen: Entry | None) -> list[tuple[Entry, Entry]]:
    """Jobs for which packages can be searched, with their cars; of the chosen car only, if there is one."""
    return [(job, car) for car in (cars if chosen is None else [chosen]) for job in book.entries("job", car.id)]


def _fit_words(part: Part, document: CarDocument) -> str:
    """Fits where, or not, or what is missing to tell."""
    found = fit(part, document)
    return f"fits {found.end}" if found.verdict is FitVerdict.FITS else str(found.verdict.value)
