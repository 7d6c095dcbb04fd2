"""What a page is asked, and the two ways it answers: a page, or on to the next one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal
from urllib.parse import quote, unquote

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.responses import HTMLResponse, RedirectResponse, Response

from jounce.book import Book, Entry, EntryKind
from jounce.conventions.errors import InputError
from jounce.conventions.unit_table import UNIT_SETS
from jounce.conventions.units import Kind, show, unit_of

__all__ = ["Ask", "Desk", "Handler", "desk_cookies", "desk_of", "find", "onward", "page"]

Paper = Literal["a4", "us-letter"]


@dataclass(frozen=True, slots=True)
class Desk:
    """Who sits there and how numbers are shown; each browser keeps its own."""

    by: str = ""
    units: str = "metric"
    paper: Paper = "a4"


@dataclass(frozen=True, slots=True)
class Ask:
    """One request, taken apart."""

    book: Book
    address: str
    client: str
    path: Mapping[str, str]
    query: Mapping[str, str]
    form: Mapping[str, str]
    files: Mapping[str, bytes]
    desk: Desk
    token: str = ""
    guarded: bool = False


Handler = Callable[[Ask], Response]


def desk_of(cookies: Mapping[str, str], by: str) -> Desk:
    """The desk of a browser.

    Args:
        cookies: what it kept
        by: who writes when it does not say
    """
    units = cookies.get("jounce_units", "")
    return Desk(
        unquote(cookies.get("jounce_by", ""))[:60].strip() or by,
        units if units in UNIT_SETS else "metric",
        "us-letter" if cookies.get("jounce_paper") == "us-letter" else "a4",
    )


def desk_cookies(desk: Desk) -> dict[str, str]:
    """What a browser keeps of its desk."""
    return {"jounce_by": quote(desk.by), "jounce_units": desk.units, "jounce_paper": desk.paper}


def find(ask: Ask, kind: EntryKind) -> Entry:
    """The entry that the address names.

    Args:
        ask: the request
        kind: what it must be

    Raises:
        InputError: there is none of this kind
    """
    entry = ask.book.entry(ask.path["entry"])
    if entry.kind != kind:
        raise InputError(f"This is no {kind}", found=entry.kind, todo="Go back to the book.")
    return entry


def page(ask: Ask, template: str, status: int = 200, **values: Any) -> Response:
    """A page.

    Args:
        ask: the request
        template: its file
        status: of the answer
        values: what it shows
    """
    units = ask.desk.units

    def shown(value: float | None, kind: Kind, *, sign: bool = False) -> str:
        return "–" if value is None else show(value, kind, units, sign=sign)

    def number(value: float | None, kind: Kind, *, sign: bool = False) -> str:
        return "–" if value is None else show(value, kind, units, sign=sign).split(" ")[0]

    def unit(kind: Kind) -> str:
        symbol = unit_of(kind, units).symbol
        return "" if symbol == "-" else symbol

    given = {"ask": ask, "desk": ask.desk, "shown": shown, "number": number, "unit": unit, "Kind": Kind, **values}
    return HTMLResponse(_environment().get_template(template).render(given), status)


def onward(address: str) -> Response:
    """On to another page, by reading it: a reload there sends nothing twice.

    Args:
        address: the page
    """
    return RedirectResponse(address, 303)


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("jounce.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
