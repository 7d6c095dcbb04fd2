"""A new car: begun with two axles laid out like those of demo cars, or from a file."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from functools import cache

from markupsafe import Markup
from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.reading import parse_car, read_toml
from jounce.car.file.rewriting import rewritten
from jounce.conventions.axes import ENDS, End
from jounce.conventions.errors import InputError
from jounce.conventions.typed import whole
from jounce.measuring.beginning import AxleLike, axles_like, begun_like
from jounce.measuring.walk import steps_of
from jounce.web.charts.small_drawings import axle_views
from jounce.web.request import PageRequest, onward, page
from jounce.web.saving import onward_saved

__all__ = ["from_demo", "from_file", "show"]


def show(ask: PageRequest) -> Response:
    """The ways to a new car."""
    return _form(ask, ask.query, {})


def _form(ask: PageRequest, typed: Mapping[str, str], wrong: Mapping[str, str], status: int = 200) -> Response:
    customers = ask.book.entries("customer")
    axles = {end: [(like, _pictures(like)) for like in axles_like(end).values()] for end in ENDS}
    return page(ask, "new_car.html", status, axles=axles, customers=customers, wrong=wrong, typed=typed)


@cache
def _pictures(like: AxleLike) -> tuple[Markup, ...]:
    """The axle from behind and from the left."""
    return tuple(axle_views(like.document, "rear" if like.at is End.REAR else "front", ())[:2])


def from_demo(ask: PageRequest) -> Response:
    """Put a car of two axles like those of demo cars in: all assumed, until the walk with the tape tells better."""
    if not ask.form:
        return onward("/cars/new")
    wrong = {}
    name = " ".join(ask.form.get("name", "").split())[:200]
    front, rear = (axles_like(end).get(ask.form.get(end, "")) for end in ENDS)
    if not name:
        wrong["name"] = "Give the name under which the workshop will know it."
    for end, like in zip(ENDS, (front, rear), strict=True):
        if like is None:
            wrong[end] = "Choose the one that is laid out most like it."
    typed_year = ask.form.get("year", "").strip()
    year = whole(typed_year)
    if typed_year and not (year is not None and 1900 <= year <= 2100):
        wrong["year"] = "A year is a number like 1987."
    if wrong or front is None or rear is None:
        return _form(ask, ask.form, wrong, 422)
    cars = " and ".join(dict.fromkeys((front.name, rear.name)))
    changed: dict[str, object] = {
        "car.name": name,
        "car.maker": " ".join(ask.form.get("maker", "").split())[:100] or None,
        "car.year": year,
        "car.body": None,
        "car.chassis": None,
        "car.note": f"begun like {cars}; what is not measured is theirs",
        "measured.by": ask.desk.by,
        "measured.date": datetime.datetime.now().astimezone().date(),
        "measured.aboard": " ".join(ask.form.get("aboard", "").split())[:200] or None,
    }
    begun = rewritten(rewritten(begun_like(front, rear), {"measured": None}), changed)
    car = _put_in(ask, begun, "begun like demo cars")
    first = steps_of(parse_car(begun, name))[0]
    return onward_saved(f"/cars/{car.id}/measure/{first.word}", car)


def from_file(ask: PageRequest) -> Response:
    """Put a car, or a job of a car that is in the book, in from its file."""
    text = ask.uploaded()
    if text is None:
        if "file" in ask.files:
            raise InputError("No file was chosen, or it is empty", todo="Choose a car file, then read it.")
        return onward("/cars/new")
    car = _put_in(ask, text, "from a file")
    return onward_saved(f"/cars/{car.id}", car)


def _put_in(ask: PageRequest, text: str, note: str) -> Entry:
    if "job" in read_toml(text, "the file"):
        raise InputError("This is a job, not a car", todo="Open its car in the book and put the job in there.")
    document = parse_car(text, "the file")
    owner = ask.form.get("customer", "") or None
    return ask.book.add("car", document.car.name, text, owner, note)
