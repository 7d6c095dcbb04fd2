"""A document as its text: whatever no form asks for can be written there."""

from __future__ import annotations

from dataclasses import replace

from starlette.responses import Response

from jounce.book import Entry
from jounce.conventions.errors import JounceError
from jounce.web.request import PageRequest, page
from jounce.web.saving import keep, number_of, onward_saved, read_whole

__all__ = ["home_of", "show"]


def show(ask: PageRequest) -> Response:
    """The text to change; one that is wrong comes back with all that is wrong with it."""
    entry = ask.book.entry(ask.path["entry"])
    text, wrong = ask.form.get("content"), ""
    if text is not None:
        try:
            read_whole(ask, replace(entry, content=text))
        except JounceError as error:
            wrong = str(error)
        else:
            return onward_saved(home_of(entry), keep(ask, entry, text, ask.form.get("note", "")))
    return page(
        ask,
        "words.html",
        422 if wrong else 200,
        entry=entry,
        text=entry.content if text is None else text,
        wrong=wrong,
        number=number_of(ask, entry),
        home=home_of(entry),
    )


def home_of(entry: Entry) -> str:
    """The page of an entry."""
    return {
        "car": f"/cars/{entry.id}",
        "job": f"/jobs/{entry.id}/aim",
        "part": f"/shelf/{entry.id}",
        "shop": "/shop",
        "rules": "/shop",
        "customer": f"/customers/{entry.id}",
        "quote": f"/quotes/{entry.id}",
        "progress": f"/jobs/{entry.belongs_to}/state",
    }.get(entry.kind, "/book")
