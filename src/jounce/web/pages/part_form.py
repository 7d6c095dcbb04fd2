"""A part typed into a form: one for each kind, its fields read by the same rules as a shelf file's."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, get_args
from urllib.parse import urlencode

from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.fields import TableField
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.reading import read_toml
from jounce.car.file.section import form_of
from jounce.conventions.errors import InputError, at
from jounce.conventions.typed import neat, with_unit
from jounce.conventions.units import Kind, unit_of
from jounce.shelf.book_entries import part_of
from jounce.shelf.columns import Form, columns_of
from jounce.shelf.kinds import KINDS
from jounce.shelf.parse import PartEntry, read_entries
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import toml_text
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.saving import keep, number_of, onward_saved
from jounce.web.shop_settings import shop_of
from jounce.web.undo import mark

__all__ = ["change", "choose", "new", "out", "read_form", "texts_of"]

_LONGEST = 4000
_BAND = "±"
"""Ends the name of the field for the ± of a number."""
_COMMON = tuple(Part.model_fields)
_LABELS = {
    "labour_hours": "hours to fit them",
    "stock": "lots in stock",
    "lead_time_days": "days until it comes",
    "pieces": "pieces sold together",
    "supplier_note": "note",
}


@dataclass(frozen=True, slots=True)
class PartField:
    """A field of the form.

    Attributes:
        key: of the part
        form: how it is written
        kinds: what its numbers measure
        help: what it is
        choices: words to choose from; none for what is typed
        needed: whether a part cannot be without it

    """

    key: str
    form: Form
    kinds: tuple[Kind, ...]
    help: str
    choices: tuple[str, ...]
    needed: bool

    @property
    def label(self) -> str:
        """Its name in words."""
        return _LABELS.get(self.key, self.key.replace("_", " "))

    def unit(self, units: str) -> str:
        """In what its numbers are typed.

        Args:
            units: unit set of the page
        """
        symbols = [unit_of(kind, units).symbol for kind in self.kinds]
        if self.form == "point":
            return f"x y z in {symbols[0]}"
        if self.form == "rows":
            return f"one row on a line: {', '.join(symbols)}"
        return symbols[0] if symbols and symbols[0] != "-" else ""


def choose(ask: PageRequest) -> Response:
    """Which kind of part is put on the shelf."""
    return page(ask, "part_kinds.html", kinds=KINDS)


def new(ask: PageRequest) -> Response:
    """A form for a new part of a kind; it goes onto the shelf whole, or comes back with what is wrong at its fields."""
    kind = ask.path["kind"]
    if kind not in KINDS:
        raise InputError("There is no such kind of part", found=kind[:40], todo="Choose one on the shelf's page.")
    if not ask.form:
        shop = shop_of(ask)
        return _page(ask, kind, _defaults(KINDS[kind]) | {"currency": "" if shop is None else shop.quote.currency})
    part, wrong = read_form(ask.form, kind, None, ask.desk.units)
    if part is not None:
        there = next((one for one in ask.book.entries("part") if one.name == part.code), None)
        if there is None:
            entry = ask.book.add("part", part.code, toml_text(Shelf((part,))), note="typed in")
            return (
                onward_saved(f"/shelf/{entry.id}", entry) if not _back(ask) else onward(f"{_back(ask)}&{mark(entry)}")
            )
        told = InputError(
            "This code is on the shelf already", found=part.code, todo="Choose another, or change that part."
        )
        wrong = {"code": str(told)}
    return _page(ask, kind, ask.form, wrong)


def change(ask: PageRequest) -> Response:
    """The same form for a part that is there."""
    entry = find(ask, "part")
    part = part_of(entry.content)
    if not ask.form:
        return _page(ask, part.KIND, texts_of(part, ask.desk.units), entry=entry)
    changed, wrong = read_form(ask.form, part.KIND, entry.content, ask.desk.units)
    if changed is None:
        return _page(ask, part.KIND, ask.form, wrong, entry)
    content, home = toml_text(Shelf((changed,))), f"/shelf/{entry.id}"
    return onward(home) if content == entry.content else onward_saved(home, keep(ask, entry, content, "typed in"))


def out(ask: PageRequest) -> Response:
    """Take a part off the shelf; jobs that it stands in keep what they say of it."""
    entry = find(ask, "part")
    if not ask.form or number_of(ask, entry) != entry.number:
        return onward(f"/shelf/{entry.id}")
    return onward(f"/shelf?{mark(ask.book.remove(entry))}")


def _back(ask: PageRequest) -> str:
    """The place of a job for which the part is made; empty where it is for the shelf alone."""
    job, place = ask.query.get("job", ""), ask.query.get("place", "")
    return f"/jobs/{job}/place?{urlencode({'name': place})}" if job.replace("-", "").isalnum() and place else ""


def _page(
    ask: PageRequest,
    kind: str,
    values: Mapping[str, str],
    wrong: Mapping[str, str] | None = None,
    entry: Entry | None = None,
) -> Response:
    fields = _fields(KINDS[kind])
    return page(
        ask,
        "part_form.html",
        422 if wrong else 200,
        kind=kind,
        title=KINDS[kind].TITLE,
        groups=(
            ("What it is and costs", [one for one in fields if one.key in _COMMON]),
            ("What is known of it", [one for one in fields if one.key not in _COMMON]),
        ),
        values=values,
        wrong=wrong or {},
        band=_BAND,
        entry=entry,
        number=None if entry is None else number_of(ask, entry),
        back=_back(ask),
        asked_with=f"?{urlencode({key: ask.query[key] for key in ('job', 'place')})}" if _back(ask) else "",
    )


@cache
def _fields(model: type[Part]) -> tuple[PartField, ...]:
    columns = {column.key: column for column in reversed(columns_of(model).values()) if column.what == "value"}
    return tuple(
        PartField(
            key,
            columns[key].form,
            columns[key].kinds,
            (field.description or "").replace("_", " "),
            _choices(field),
            field.is_required(),
        )
        for key, field in model.model_fields.items()
    )


def _defaults(model: type[Part]) -> dict[str, str]:
    """What stands in the fields of a new part: what a part is of which nothing else is said."""
    said = {
        key: field.default for key, field in model.model_fields.items() if not field.is_required() and field.default
    }
    said |= {key: "no" for key, field in model.model_fields.items() if field.default is False}
    return {key: str(value) for key, value in said.items()}


def _choices(field: Any) -> tuple[str, ...]:
    """Words of which one is meant, with an empty one first where none need be."""
    found = (field.annotation, *get_args(field.annotation))
    none = () if field.is_required() or field.default else ("",)
    if bool in found:
        return (*(none if field.default is None else ()), "yes", "no")
    words = [word for one in found for word in get_args(one) if isinstance(word, str)]
    words = words or [word for word in get_args(field.annotation) if isinstance(word, str)]
    return (*none, *words) if words else ()


def read_form(form: Mapping[str, str], kind: str, before: str | None, units: str) -> tuple[Part | None, dict[str, str]]:
    """The part that was typed, or what is wrong by field; what was not touched stays to the last digit.

    Args:
        form: the fields
        kind: word of the kind
        before: the part's document as it was; None for a new one
        units: unit set of numbers without a unit
    """
    given = {key: text.strip()[:_LONGEST] for key, text in form.items()}
    shown = {} if before is None else texts_of(part_of(before), units)
    kept = {} if before is None else {**_written(before), "code": part_of(before).code}
    written: dict[str, Any] = {}
    wrong: dict[str, str] = {}
    for field in _fields(KINDS[kind]):
        text, band = given.get(field.key, ""), given.get(field.key + _BAND, "")
        if before is not None and (field.key == "code" or (text, band) == _both(shown, field.key)):
            if field.key in kept:
                written[field.key] = kept[field.key]
        elif text:
            try:
                written[field.key] = _value(field, text, band, units)
            except InputError as problem:
                wrong[field.key] = str(problem)
        elif band:
            wrong[field.key] = "A ± needs the number that it belongs to."
    if "code" not in written:
        return None, wrong | {"code": "The part needs a code: the shop's own, as on its box or in its list."}
    places = {key: key for key in KINDS[kind].model_fields}
    code = written.pop("code")
    reading = read_entries([PartEntry(kind, code, written, "code", places)])
    for one in reading.problems:
        key = one.place.rpartition(", ")[2].partition(".")[0]
        wrong.setdefault(key if key in places else "code", one.message)
    return (None if wrong else reading.good.parts[0]), wrong


def _written(document: str) -> dict[str, Any]:
    """The keys of a part as its document writes them."""
    parts: Any = next(iter(read_toml(document, "").values()))
    return dict(next(iter(parts.values())))


def _both(shown: Mapping[str, str], key: str) -> tuple[str, str]:
    return shown.get(key, ""), shown.get(key + _BAND, "")


def _value(field: PartField, text: str, band: str, units: str) -> Any:
    """What was typed, as a shelf file would say it."""
    if field.form == "rows":
        lines = [line for line in re.split(r"[\n;|]", text) if line.strip()]
        return [_row(line, field.kinds, units) for line in lines]
    if field.form == "point":
        return {"at": _row(text, field.kinds, units)} | (
            {"plus_minus": with_unit(band, Kind.LENGTH, units)} if band else {}
        )
    if field.form == "measured":
        return {"value": with_unit(text, field.kinds[0], units)} | (
            {"plus_minus": with_unit(band, field.kinds[0], units)} if band else {}
        )
    if field.form == "number":
        return _number(text)
    return text == "yes" if field.choices[-1:] == ("no",) else text


def _row(line: str, kinds: tuple[Kind, ...], units: str) -> list[str]:
    """The numbers of a row, each with its unit; one too many stays to be refused."""
    cells = re.findall(r"\S+(?:\s+[^\W\d_]\S*)?", line)
    return [with_unit(cell.rstrip(","), kinds[min(place, len(kinds) - 1)], units) for place, cell in enumerate(cells)]


def _number(text: str) -> object:
    """A number as a file has it; what is none stays as it was typed, to be refused."""
    with at(""):
        plain = with_unit(text, Kind.RATIO, "metric")
    return int(plain) if plain.isascii() and plain.isdigit() and len(plain) < 10 else plain


def texts_of(part: Part, units: str) -> dict[str, str]:
    """What the fields show of a part.

    Args:
        part: the part
        units: unit set of the page
    """
    found: dict[str, str] = {}
    for field in _fields(type(part)):
        value = part.values.get(field.key)
        if value is None:
            continue
        if isinstance(value, Measured):
            found[field.key] = _shown(value.value, field.kinds[0], units)
            if value.plus_minus:
                found[field.key + _BAND] = _shown(value.plus_minus, field.kinds[0], units)
        elif isinstance(value, MeasuredPoint):
            found[field.key] = " ".join(_shown(one, Kind.LENGTH, units) for one in (value.x, value.y, value.z))
            if value.plus_minus:
                found[field.key + _BAND] = _shown(value.plus_minus, Kind.LENGTH, units)
        elif form_of(type(part).model_fields[field.key], TableField) is not None:
            rows = (" ".join(map(_shown, row, field.kinds, [units] * len(row))) for row in value)
            found[field.key] = "\n".join(rows)
        else:
            found[field.key] = ("yes" if value else "no") if isinstance(value, bool) else str(value)
    return found


def _shown(value: float, kind: Kind, units: str) -> str:
    unit = unit_of(kind, units)
    return neat(value / unit.factor, unit.decimals)
