"""What a quote or an order offers: packages by codes, or as a search found them, each worked out as a job of its own."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from urllib.parse import urlencode

from jounce.book import Entry
from jounce.case.case import Case
from jounce.conventions.errors import InputError, at
from jounce.conventions.typed import pointed
from jounce.job.document import JobDocument
from jounce.quote.kept import parse_quote
from jounce.quote.parts_named import parts_of_shelf
from jounce.quote.quote import QuotedWork, priced
from jounce.search.packaged import Parts, job_of_parts
from jounce.search.slots import SLOTS
from jounce.sheets.offers import offer_as_planned
from jounce.sheets.paperwork import PackageOffer
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml
from jounce.web.pages.job_places import with_places
from jounce.web.request import PageRequest
from jounce.web.searching.found import ShownPackage
from jounce.web.shop_settings import held_case, shop_of

__all__ = [
    "NUMBERS",
    "Carried",
    "carried",
    "fields_at_first",
    "offers_of",
    "quote_address",
    "quote_all",
    "stock_of_book",
]

NUMBERS = (1, 2, 3)
"""Packages that stand side by side on one quote."""
_MOST_HOURS = 200
_LONGEST_NAME = 40


@dataclass(frozen=True, slots=True)
class Carried:
    """A part of a package that a search found: its place, its code, and how many lots of which part, where it is there."""

    place: str
    code: str
    part: Part | None
    lots: int


def quote_address(job: Entry, packages: Sequence[ShownPackage], places: Sequence[str]) -> str:
    """The page of the sheets with the packages of a search in the forms of quote and order; empty where none has parts.

    Args:
        job: the job
        packages: what the search found
        places: places that it looked at
    """
    found = [(one.names, one.parts) for one in packages if one.parts]
    return quote_all(job, found, places) if found else ""


def quote_all(
    job: Entry, packages: Sequence[tuple[Sequence[str], Sequence[tuple[str, Part, int]]]], places: Sequence[str] = ()
) -> str:
    """The page of the sheets with packages in the forms of quote and order, side by side.

    Args:
        job: the job
        packages: names of each, and its parts with their places and lots
        places: places that are told although a package leaves them as they are; those of all packages if not given
    """
    told = places or list(dict.fromkeys(place for _, parts in packages for place, _, _ in parts))
    fields = {}
    for number, (names, parts) in zip(NUMBERS, packages, strict=False):
        codes = {place: part.code for place, part, _ in parts}
        fields[f"name{number}"] = " and ".join(names)
        fields[f"places{number}"] = "\n".join(f"{place}: {codes.get(place, '')}".strip() for place in told)
    return f"/jobs/{job.id}/sheets?{urlencode(fields)}#quote"


def fields_at_first(ask: PageRequest, job: JobDocument) -> dict[str, str]:
    """The form of a quote before anybody filled it in: what was quoted before, what is handed on, else the job's parts.

    Args:
        ask: the request
        job: the job
    """
    for key in ("revise", "ordered"):
        if key in ask.query:
            return _as_quoted(ask, ask.query[key], accepted=key == "ordered")
    handed = {f"{key}{number}": ask.query.get(f"{key}{number}", "") for key in ("name", "places") for number in NUMBERS}
    if any(handed[f"places{number}"] for number in NUMBERS):
        return handed
    return {"name1": "as asked", "parts1": _named(ask, job)}


def _as_quoted(ask: PageRequest, quote_id: str, *, accepted: bool) -> dict[str, str]:
    """The fields that a quote was made from; of its accepted package alone, where that is to be ordered."""
    entry = ask.book.entry(quote_id)
    if entry.kind != "quote" or entry.belongs_to != ask.path["entry"]:
        raise InputError("This is no quote of this job", found=entry.name, todo="Begin from the quote's page.")
    document = parse_quote(entry.content)
    names = [one.name for one in document.package]
    if not accepted or document.quote.package not in names:
        return dict(document.asked)
    offered = [number for number in NUMBERS if _is_offered(document.asked, number)]
    if not offered:
        return dict(document.asked)
    chosen = offered[names.index(document.quote.package)]
    kept = {f"{key}1": document.asked.get(f"{key}{chosen}", "") for key in ("name", "places", "parts")}
    return {key: text for key, text in (kept | {"work": document.asked.get("work", "")}).items() if text}


def _is_offered(asked: Mapping[str, str], number: int) -> bool:
    """Whether a form offers its package of a number."""
    filled = asked.get(f"places{number}", "") or _lines(asked.get(f"parts{number}", ""))
    return f"leave{number}" not in asked and bool(filled)


def carried(text: str, stock: Shelf) -> list[Carried]:
    """The parts of a package that a search found, to be shown.

    Args:
        text: places with their codes, one on a line
        stock: the shelf
    """
    found = []
    for place, code in _places(text).items():
        if code:
            part = next((one for one in stock.parts if one.code == code), None)
            slots = [slot for slot in SLOTS if slot.name == place]
            found.append(Carried(place, code, part, slots[0].lots(part) if slots and part is not None else 1))
    return found


def stock_of_book(ask: PageRequest) -> Shelf:
    """The shelf, with the prices of today.

    Args:
        ask: the request
    """
    return Shelf(tuple(_part(entry.content) for entry in ask.book.entries("part")))


def offers_of(ask: PageRequest, entries: tuple[Entry, Entry], asked: Mapping[str, str]) -> tuple[PackageOffer, ...]:
    """The packages of a form, each worked out as a job of its own; else the job's own parts.

    Args:
        ask: the request
        entries: the job and its car
        asked: the fields of the form

    Raises:
        JounceError: what is wrong; its place begins with the name of a field
    """
    shop, stock, (job_entry, car_entry) = shop_of(ask), stock_of_book(ask), entries
    if shop is None:
        raise InputError("Money needs the shop's prices", todo="Fill in the shop first: it is behind Desk.")
    case = held_case(ask, job_entry, car_entry)
    job = case.change_list
    with at("work"):
        work = [_work(line) for line in _lines(asked.get("work", ""))]
    offers = []
    for number in NUMBERS:
        name = " ".join(asked.get(f"name{number}", "").split())[:_LONGEST_NAME] or f"package {number}"
        places, lines = asked.get(f"places{number}", ""), _lines(asked.get(f"parts{number}", ""))
        if not _is_offered(asked, number):
            continue
        if places:
            with at(f"places{number}"), at(f"package {name}"):
                text = with_places(job_entry.content, _places(places), case.car, stock)
                own = held_case(ask, replace(job_entry, content=text), car_entry)
                offers.append(offer_as_planned(stock, work, shop.quote, own, ask.desk.units, name))
        elif number == 1 and "\n".join(lines) == _named(ask, job):
            with at("parts1"):
                offers.append(offer_as_planned(stock, work, shop.quote, case, ask.desk.units))
        else:
            with at(f"parts{number}"), at(f"package {name}"):
                parts = tuple(_counted(stock, line) for line in lines)
                offers.append(PackageOffer(priced(name, parts, work, shop.quote), _with_parts(case, parts)))
    if not offers:
        with at("parts1"):
            offers.append(offer_as_planned(stock, work, shop.quote, case, ask.desk.units))
    return tuple(offers)


@lru_cache(maxsize=8)
def _with_parts(case: Case, parts: Parts) -> Case:
    """The job with exactly these parts, planned."""
    own = case.with_job(job_of_parts(case.change_list, case.car, parts))
    _ = own.plan
    return own


def _named(ask: PageRequest, job: JobDocument) -> str:
    """The job's own parts by their codes on the shelf, as they are typed; empty where it names none that is there."""
    try:
        parts = parts_of_shelf(job, stock_of_book(ask))
    except InputError:
        return ""
    return "\n".join(part.code if count == 1 else f"{part.code} = {count}" for part, count in parts)


def _places(text: str) -> dict[str, str]:
    """Codes by place, empty where the car keeps what it has."""
    lines = (line.partition(":") for line in text.replace("\r", "").splitlines() if line.strip())
    return {place.strip(): code.strip() for place, _, code in lines}


def _lines(text: str) -> Sequence[str]:
    return [line.strip() for line in re.split(r"[\n,;]", text.replace("\r", "")) if line.strip()]


def _counted(shelf: Shelf, line: str) -> tuple[Part, int]:
    code, equals, count = (word.strip() for word in line.partition("="))
    if equals and not (count.isascii() and count.isdigit() and len(count) < 4):
        raise InputError("The count is not a whole number", found=f'"{line}"', allowed="CODE=2", todo="Correct it.")
    return shelf.part(code), int(count) if equals else 1


def _work(line: str) -> QuotedWork:
    name, _, hours = (word.strip() for word in line.rpartition("="))
    try:
        number = Decimal(pointed(hours.removesuffix("h").strip()))
    except InvalidOperation:
        number = Decimal("NaN")
    if not name or not number.is_finite() or not 0 < number <= _MOST_HOURS:
        allowed = f"alignment = 1.5, hours up to {_MOST_HOURS}"
        raise InputError("The work is not clear", found=f'"{line}"', allowed=allowed, todo="Correct it.")
    return QuotedWork(name, number)


@lru_cache(maxsize=4096)
def _part(text: str) -> Part:
    return parse_toml(text, "the shelf").whole("the shelf").parts[0]
