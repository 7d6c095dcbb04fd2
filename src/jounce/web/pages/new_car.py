"""A new car: begun as a copy of a demo car that is laid out like it, or from a file."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from markupsafe import Markup
from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.reading import parse_car, read_toml
from jounce.car.file.rewriting import rewritten
from jounce.conventions.errors import InputError
from jounce.conventions.typed import whole
from jounce.layouts.catalogue import LAYOUTS
from jounce.measuring.copying import as_assumed
from jounce.web.case_cache import car_read
from jounce.web.charts.small_drawings import axle_views
from jounce.web.request import Ask, onward, page
from jounce.web.saving import onward_saved

__all__ = ["DemoCar", "demo_cars", "from_demo", "from_file", "show"]


@dataclass(frozen=True, slots=True)
class DemoCar:
    """A demo car to begin with: its name, what its axles are called, and how they look from behind."""

    name: str
    front: str
    rear: str
    pictures: tuple[Markup, ...]


def show(ask: Ask) -> Response:
    """The ways to a new car."""
    return page(
        ask, "new_car.html", demos=demo_cars(), customers=ask.book.entries("customer"), wrong={}, typed=ask.query
    )


@cache
def demo_cars() -> dict[str, DemoCar]:
    """The demo cars by file name."""
    found: dict[str, DemoCar] = {}
    for entry in sorted(files("jounce.demo").iterdir(), key=lambda entry: entry.name):
        if not entry.name.endswith(".toml"):
            continue
        text = entry.read_text("utf-8")
        written = read_toml(text, entry.name)
        if isinstance(written.get("car"), dict) and isinstance(written.get("front"), dict):
            document = car_read(text)
            pictures = (axle_views(document, "front", ())[0], axle_views(document, "rear", ())[0])
            front, rear = (_title(axle.layout) for axle in (document.front, document.rear))
            found[entry.name] = DemoCar(document.car.name, front, rear, pictures)
    return found


def from_demo(ask: Ask) -> Response:
    """Put a copy of a demo car in: all of it assumed, until the walk with the tape tells better."""
    if not ask.form:
        return onward("/cars/new")
    wrong = {}
    name, chosen = " ".join(ask.form.get("name", "").split())[:200], ask.form.get("demo", "")
    if not name:
        wrong["name"] = "Give the name under which the workshop will know it."
    if chosen not in demo_cars():
        wrong["demo"] = "Choose the one that is laid out most like it."
    typed_year = ask.form.get("year", "").strip()
    year = whole(typed_year)
    if typed_year and not (year is not None and 1900 <= year <= 2100):
        wrong["year"] = "A year is a number like 1987."
    if wrong:
        customers = ask.book.entries("customer")
        return page(ask, "new_car.html", 422, demos=demo_cars(), customers=customers, wrong=wrong, typed=ask.form)
    changed: dict[str, object] = {
        "car.name": name,
        "car.maker": " ".join(ask.form.get("maker", "").split())[:100] or None,
        "car.year": year,
        "car.body": None,
        "car.chassis": None,
        "car.note": f"begun as a copy of {demo_cars()[chosen].name}; what is not measured is that car's",
        "measured.by": ask.desk.by,
        "measured.date": datetime.datetime.now().astimezone().date(),
        "measured.aboard": " ".join(ask.form.get("aboard", "").split())[:200] or None,
    }
    text = files("jounce.demo").joinpath(chosen).read_text("utf-8")
    body = text[text.index("[car]") :]  # what its file says on top is said of the demo car
    copied = as_assumed(body, demo_cars()[chosen].name)
    car = _put_in(ask, rewritten(rewritten(copied, {"measured": None}), changed), "begun as a copy of a demo car")
    return onward_saved(f"/cars/{car.id}/measure", car)


def _title(layout: str) -> str:
    return LAYOUTS[layout].title if layout in LAYOUTS else "Told link by link"


def from_file(ask: Ask) -> Response:
    """Put a car, or a job of a car that is in the book, in from its file."""
    text = ask.uploaded()
    if text is None:
        if "file" in ask.files:
            raise InputError("No file was chosen, or it is empty", todo="Choose a car file, then read it.")
        return onward("/cars/new")
    car = _put_in(ask, text, "from a file")
    return onward_saved(f"/cars/{car.id}", car)


def _put_in(ask: Ask, text: str, note: str) -> Entry:
    if "job" in read_toml(text, "the file"):
        raise InputError("This is a job, not a car", todo="Open its car in the book and put the job in there.")
    document = parse_car(text, "the file")
    owner = ask.form.get("customer", "") or None
    return ask.book.add("car", document.car.name, text, owner, note)
