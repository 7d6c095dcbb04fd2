"""What a page is asked, and the two ways it answers: a page, or on to the next one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Literal
from urllib.parse import quote, unquote

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.responses import HTMLResponse, RedirectResponse, Response

from jounce.book import Book, Entry, EntryKind
from jounce.conventions.errors import InputError
from jounce.conventions.unit_table import UNIT_SETS
from jounce.conventions.units import Kind, show, unit_of
from jounce.web.background import BackgroundJobs
from jounce.web.language import MissingPhrases
from jounce.web.undo import just_saved

__all__ = ["Handler", "PageRequest", "Preferences", "desk_cookies", "desk_of", "find", "onward", "page"]

Paper = Literal["a4", "us-letter"]
_PAPERS: Mapping[str, Paper] = {"a4": "a4", "us-letter": "us-letter"}


@dataclass(frozen=True, slots=True)
class Preferences:
    """Who sits there and how numbers are shown; each browser keeps its own."""

    by: str = ""
    units: str = "metric"
    paper: Paper = "a4"


@dataclass(frozen=True, slots=True)
class PageRequest:
    """One request, taken apart."""

    book: Book
    address: str
    client: str
    path: Mapping[str, str]
    query: Mapping[str, str]
    form: Mapping[str, str]
    files: Mapping[str, bytes]
    desk: Preferences
    token: str = ""
    guarded: bool = False
    works: BackgroundJobs = field(default_factory=BackgroundJobs)
    heard: MissingPhrases = field(default_factory=MissingPhrases)
    host: str = ""
    secure: bool = False

    def uploaded(self) -> str | None:
        """The text of the file that came with the form; None where none was chosen.

        Raises:
            InputError: it is no text
        """
        content = self.files.get("file")
        if not content:
            return None
        try:
            return content.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise InputError("The file is not text in UTF-8", todo="Save it as UTF-8.") from None


Handler = Callable[[PageRequest], Response]


def desk_of(cookies: Mapping[str, str], house: Preferences) -> Preferences:
    """The desk of a browser.

    Args:
        cookies: what it kept
        house: the desk of one that chose nothing
    """
    units = cookies.get("jounce_units", "")
    return Preferences(
        unquote(cookies.get("jounce_by", ""))[:60].strip() or house.by,
        units if units in UNIT_SETS else house.units,
        _PAPERS.get(cookies.get("jounce_paper", ""), house.paper),
    )


def desk_cookies(desk: Preferences) -> dict[str, str]:
    """What a browser keeps of its desk."""
    return {"jounce_by": quote(desk.by), "jounce_units": desk.units, "jounce_paper": desk.paper}


def find(ask: PageRequest, kind: EntryKind) -> Entry:
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


def page(ask: PageRequest, template: str, status: int = 200, **values: Any) -> Response:
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
    given.setdefault("saved", just_saved(ask.book, ask.query))
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
