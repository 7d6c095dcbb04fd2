"""Invented parts for the tests of the shelf: short texts, and any part that the models accept."""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

from hypothesis import strategies as st
from pydantic import ValidationError
from pydantic.fields import FieldInfo

from jounce.car.file.document import CarDocument
from jounce.car.file.fields import PointField, QuantityField, TableField
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.reading import read_car
from jounce.car.file.section import form_of
from jounce.conventions.units import unit_of
from jounce.shelf.file import read_shelf
from jounce.shelf.kinds import KINDS
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.shelf.toml import parse_toml

SHELF_FILE = Path(str(files("jounce.demo").joinpath("shelf.toml")))
CAR_FILE = SHELF_FILE.with_name("brisk-14.toml")

_STEPS = st.integers(0, 900_000).map(lambda step: step / 1000)
"""Numbers of a curve: as fine as anybody measures, so that no two rows are one."""
WORDS = st.text(st.characters(min_codepoint=32, max_codepoint=0x2FF), max_size=12).map(
    lambda text: " ".join("".join(c for c in text if c.isprintable()).split())
)


@cache
def demo_shelf() -> Shelf:
    """The demo shelf."""
    return read_shelf(SHELF_FILE)


@cache
def demo_car() -> CarDocument:
    """The demo car that the shelf is for."""
    return read_car(CAR_FILE)


def part(kind: str, text: str, code: str = "X") -> Part:
    """A part of the text below its head; name and place are filled in."""
    head = f'[{kind}.{code}]\nname = "one"\n' + ("" if "place =" in text else 'place = "rear"\n')
    return parse_toml(head + text, "shelf").whole("shelf").part(code)


@st.composite
def parts(draw: st.DrawFn, code: str) -> Part:
    """Any part with this code: keys are added one by one as long as the model takes them together."""
    model = KINDS[draw(st.sampled_from(sorted(KINDS)))]
    name = draw(WORDS.filter(bool))
    written: dict[str, Any] = {"code": code, "name": name}
    for key, field in model.model_fields.items():
        if key in written or not (field.is_required() or draw(st.booleans())):
            continue
        value = draw(_values(field))
        if value is None:
            continue
        more = {**written, key: value} | ({"currency": "EUR"} if key == "price" else {})
        if field.is_required() or _accepted(model, more):
            written = more
    return model.model_validate(written)


@st.composite
def shelves(draw: st.DrawFn) -> Shelf:
    """A few parts, kinds in the order of the manual."""
    number = draw(st.integers(1, 4))
    found = [draw(parts(f"P{k}{'.b' if k % 2 else ''}")) for k in range(number)]
    return Shelf(tuple(sorted(found, key=lambda one: list(KINDS).index(one.KIND))))


def _accepted(model: type[Part], written: dict[str, Any]) -> bool:
    required = {key: "front" for key, field in model.model_fields.items() if field.is_required() and key not in written}
    choices = {key: _choices(model.model_fields[key])[0] for key in required}
    try:
        model.model_validate(written | choices)
    except ValidationError:
        return False
    return True


def _values(field: FieldInfo) -> st.SearchStrategy[Any]:
    if quantity := form_of(field, QuantityField):
        low, high = (min(limit, 1e5) for limit in quantity.hard)
        factor = unit_of(quantity.kind).factor
        numbers = st.floats(low, high).map(lambda shown: shown * factor)
        bands = st.one_of(st.just(0.0), st.floats(0, 10).map(lambda shown: shown * factor))
        return st.builds(Measured, numbers, bands, WORDS)
    if form_of(field, PointField):
        lengths = st.floats(0.001, 2)
        return st.builds(MeasuredPoint, lengths, lengths, lengths, st.floats(0, 0.01), WORDS)
    if table := form_of(field, TableField):
        columns = len(table.columns)
        rows = st.lists(st.lists(_STEPS, min_size=columns, max_size=columns), min_size=2, max_size=4)
        return rows.map(
            lambda rows: list(map(list, zip(*(sorted(column) for column in zip(*rows, strict=True)), strict=True)))
        )
    if choices := _choices(field):
        return st.sampled_from(choices)
    return _plain(field)


def _plain(field: FieldInfo) -> st.SearchStrategy[Any]:
    found = str(field.annotation)
    if "Decimal" in found:
        return st.integers(0, 99999).map(lambda cents: Decimal(cents) / 100)
    for word, strategy in (("bool", st.booleans()), ("int", st.integers(1, 12)), ("float", st.floats(0, 100))):
        if word in found:
            return strategy
    return WORDS


def _choices(field: FieldInfo) -> list[str]:
    found = [field.annotation, *get_args(field.annotation)]
    return next((list(get_args(one)) for one in found if get_origin(one) is Literal), [])
