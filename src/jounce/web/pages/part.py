"""One part of the shelf: what is known of it and what is not, and what changes from day to day - price and stock."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation

from starlette.responses import Response

from jounce.conventions.errors import InputError, InputProblems
from jounce.conventions.typed import pointed, whole
from jounce.shelf.book_entries import part_of
from jounce.shelf.describe import known_rows, price_of, stock_of, unknown_rows
from jounce.shelf.part import Part
from jounce.shelf.remarks import remarks_on
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import toml_text
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.saving import keep, number_of
from jounce.web.undo import mark

__all__ = ["FIELDS", "show"]

FIELDS: tuple[tuple[str, str, str], ...] = (
    ("price", "price", "decimal"),
    ("currency", "currency", "text"),
    ("stock", "in stock", "numeric"),
    ("lead_time_days", "days until it comes", "numeric"),
)
"""What the form changes: key, label, keyboard of a phone."""
_COUNTS = ("stock", "lead_time_days")


def show(ask: PageRequest) -> Response:
    """The part; a form saves its price and stock as the next version."""
    entry = find(ask, "part")
    part = part_of(entry.content)
    given = {key: " ".join(ask.form.get(key, "").split())[:20] for key, _, _ in FIELDS}
    wrong: list[str] = []
    if ask.form:
        content = toml_text(Shelf((_changed(part, given),)))
        try:
            part_of(content)
        except InputProblems as error:
            wrong = [str(problem) for problem in error.problems]
        else:
            home = f"/shelf/{entry.id}"
            if content == entry.content:
                return onward(home)
            note = f"{price_of(part_of(content))}, {stock_of(part_of(content))}"
            return onward(f"{home}?{mark(keep(ask, entry, content, note))}")
    return page(
        ask,
        "part.html",
        422 if wrong else 200,
        entry=entry,
        part=part,
        fields=[(key, label, keyboard, given[key] if wrong else _text(part, key)) for key, label, keyboard in FIELDS],
        wrong=wrong,
        number=number_of(ask, entry),
        rows=[row for row in known_rows(part, ask.desk.units) if row[0] not in ("code", "name")],
        unknown=unknown_rows(part),
        remarks=remarks_on(part),
        price=price_of(part),
        stock=stock_of(part),
    )


def _text(part: Part, key: str) -> str:
    value = getattr(part, key)
    return "" if value is None else str(value)


def _changed(part: Part, given: dict[str, str]) -> Part:
    """The part with what was typed, not checked yet: what is no number stays a text, so that it is refused as one."""
    update: dict[str, object] = {"currency": given["currency"]}
    for key in _COUNTS:
        text = given[key]
        count = whole(text)
        update[key] = (text or None) if count is None else count
    try:
        update["price"] = Decimal(pointed(given["price"])) if given["price"] else None
    except (InvalidOperation, InputError):
        update["price"] = given["price"]
    return part.model_copy(update=update)
