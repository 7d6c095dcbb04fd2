"""A new car: from a demo car with the first tape measurements, or from a file."""

from __future__ import annotations

from importlib.resources import files

from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file import parse_car, read_toml
from jounce.car.rewriting import rewritten
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind
from jounce.web.asking import Ask, onward, page
from jounce.web.typed import with_unit

__all__ = ["ASKED", "demo_cars", "from_demo", "from_file", "show"]

_CORNERS = (
    ("front_left", "front left"),
    ("front_right", "front right"),
    ("rear_left", "rear left"),
    ("rear_right", "rear right"),
)
ASKED: tuple[tuple[str, str, Kind], ...] = (
    *((f"mass.{key}", f"scale, {where}", Kind.MASS) for key, where in _CORNERS),
    *((f"heights.{key}", f"wheel centre to arch, {where}", Kind.LENGTH) for key, where in _CORNERS),
)
"""What a tape and four scales give at once."""


def show(ask: Ask) -> Response:
    """The ways to a new car."""
    customers = ask.book.entries("customer")
    return page(ask, "new_car.html", demos=demo_cars(), asked=ASKED, customers=customers)


def demo_cars() -> dict[str, tuple[str, str, str]]:
    """Name and the two layouts of each demo car, by file name."""
    found = {}
    for entry in sorted(files("jounce.demo").iterdir(), key=lambda entry: entry.name):
        if entry.name.endswith(".toml"):
            written = read_toml(entry.read_text("utf-8"), entry.name)
            car, front, rear = (written.get(key) for key in ("car", "front", "rear"))
            if isinstance(car, dict) and isinstance(front, dict) and isinstance(rear, dict):
                found[entry.name] = (str(car["name"]), str(front["layout"]), str(rear["layout"]))
    return found


def from_demo(ask: Ask) -> Response:
    """Put a copy of a demo car in, with what was measured of the new one."""
    if not ask.form:
        return onward("/cars/new")
    chosen = ask.form.get("demo", "")
    if chosen not in demo_cars():
        raise InputError("There is no such demo car", found=chosen, todo="Choose one of the list.")
    name = ask.form.get("name", "").strip()
    if not name:
        raise InputError("The car needs a name", todo="Give the name under which the workshop will know it.")
    changed: dict[str, object] = {"car.name": name, "car.maker": None, "car.year": None}
    changed |= {
        "measured.by": ask.desk.by,
        "car.note": f"begun as a copy of {chosen}; what is not measured is that car's",
    }
    for key, _, kind in ASKED:
        given = ask.form.get(key, "").strip()
        if given:
            changed[key] = {"value": with_unit(given, kind, ask.desk.units), "from": "tape and scales"}
    text = rewritten(files("jounce.demo").joinpath(chosen).read_text("utf-8"), changed)
    return _put_in(ask, text, "begun as a copy of a demo car")


def from_file(ask: Ask) -> Response:
    """Put a car, or a job of a car that is in the book, in from its file."""
    if "file" not in ask.files:
        return onward("/cars/new")
    try:
        text = ask.files["file"].decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("The file is not text in UTF-8", todo="Save it as UTF-8.") from None
    return _put_in(ask, text, "from a file")


def _put_in(ask: Ask, text: str, note: str) -> Response:
    if "job" in read_toml(text, "the file"):
        raise InputError("This is a job, not a car", todo="Open its car in the book and put the job in there.")
    document = parse_car(text, "the file")
    owner = ask.form.get("customer", "") or None
    car: Entry = ask.book.add("car", document.car.name, text, owner, note)
    return onward(f"/cars/{car.id}")
