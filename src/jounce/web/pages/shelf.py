"""The parts shelf: what there is, what fits which car; taken in from a file, one entry of the book for each part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from starlette.responses import Response

from jounce.car.document import CarDocument
from jounce.conventions.errors import InputError
from jounce.job.shelf.fit.reason import Verdict
from jounce.job.shelf.fit.to_car import fit
from jounce.job.shelf.kinds import KINDS
from jounce.job.shelf.part import Part
from jounce.job.shelf.shelf import Shelf
from jounce.job.shelf.shown import known_rows, price_of, stock_of
from jounce.job.shelf.toml import parse_toml, toml_text
from jounce.web.asking import Ask, onward, page
from jounce.web.worked import car_read

__all__ = ["fill_shelf", "show"]


def show(ask: Ask) -> Response:
    """The parts, chosen by kind, words, stock and car; a file fills the shelf."""
    if ask.files.get("file"):
        try:
            text = ask.files["file"].decode("utf-8-sig")
        except UnicodeDecodeError:
            raise InputError("The file is not text in UTF-8", todo="Save it as UTF-8.") from None
        fill_shelf(ask, text)
        return onward("/shelf")
    cars = ask.book.entries("car")
    kind, words, car_id = (ask.query.get(name, "") for name in ("kind", "words", "car"))
    chosen = next((car for car in cars if car.id == car_id), None)
    document = None if chosen is None else car_read(chosen.content)
    parts = [_part(entry.content) for entry in ask.book.entries("part")]
    lines = [
        (part, price_of(part), stock_of(part), "" if document is None else _fit_words(part, document))
        for part in parts
        if kind in {"", part.KIND}
        and all(word in f"{part.code} {part.name} {part.maker}".casefold() for word in words.casefold().split())
        and (part.stock or "stock" not in ask.query)
    ]
    if document is not None and "all" not in ask.query:
        lines = [line for line in lines if line[3] != Verdict.DOES_NOT_FIT.value]
    return page(
        ask, "shelf.html", lines=lines, total=len(parts), kinds=KINDS, cars=cars, known=known_rows, chosen=chosen
    )


def fill_shelf(ask: Ask, text: str) -> int:
    """Put all parts of a shelf file in; one that is there already gets a new version when it differs.

    Args:
        ask: the request
        text: TOML of the file

    Returns:
        How many parts the file has

    Raises:
        InputProblems: what is wrong with its parts
    """
    shelf = parse_toml(text, "the file").whole("the file")
    there = {entry.name: entry for entry in ask.book.entries("part")}
    for part in shelf.parts:
        content, known = toml_text(Shelf((part,))), there.get(part.code)
        if known is None:
            ask.book.add("part", part.code, content)
        elif known.content != content:
            ask.book.save(replace(known, content=content))
    return len(shelf.parts)


@lru_cache(maxsize=4096)
def _part(text: str) -> Part:
    return next(_parts(text))


def _parts(text: str) -> Iterator[Part]:
    yield from parse_toml(text, "the shelf").whole("the shelf").parts


def _fit_words(part: Part, document: CarDocument) -> str:
    """Fits where, or not, or what is missing to tell."""
    found = fit(part, document)
    return f"fits {found.end}" if found.verdict is Verdict.FITS else str(found.verdict.value)
