"""The shelf as TOML: one table for each part, ``[coil.C-25-300]``."""

from __future__ import annotations

import json
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from jounce.car.file.fields import QuantityField, TableField
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.reading import read_toml
from jounce.car.file.section import Section, form_of
from jounce.car.file.toml_lines import line_of, lines_of_keys
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind
from jounce.shelf.kinds import KINDS
from jounce.shelf.number_text import number_text
from jounce.shelf.parse import PartEntry, Reading, read_entries, unknown_kind
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

__all__ = ["parse_toml", "section_text", "toml_text"]

Lines = dict[tuple[str, ...], int]


def parse_toml(text: str, name: str) -> Reading:
    """Read the text of a shelf file.

    Args:
        text: the content of the file
        name: name of the file, for messages

    Raises:
        InputError: the text is no TOML
    """
    written = read_toml(text, name)
    lines = lines_of_keys(text)
    return read_entries(entry for kind, parts in written.items() for entry in _of_kind(kind, parts, lines))


def toml_text(shelf: Shelf) -> str:
    """The shelf as a file: kinds in the order of the manual, numbers in the default units.

    Args:
        shelf: the parts
    """
    parts = sorted(shelf.parts, key=lambda part: list(KINDS).index(part.KIND))
    return "\n".join("".join(f"{line}\n" for line in _lines_of(part)) for part in parts)


def section_text(name: str, section: Section) -> str:
    """A section of a car or job file as TOML, with those that it holds as tables of their own below it.

    Args:
        name: its full name, for the head
        section: the section
    """
    lines, below = [f"[{name}]"], []
    for key, value in section:
        field = type(section).model_fields[key]
        if value is None or (not field.is_required() and value == field.default):
            continue
        if isinstance(value, Section):
            below.append(section_text(f"{name}.{key}", value))
        else:
            lines.append(f"{key} = {_value(value, field)}")
    return "\n".join((*lines, *below)) + "\n"


def _of_kind(kind: str, parts: object, lines: Lines) -> list[PartEntry]:
    place = _place(lines, kind)
    if kind not in KINDS:
        return [PartEntry("", "", {}, place, broken=(unknown_kind(kind, place),))]
    if not isinstance(parts, dict):
        todo = f"Write each part as a table: [{kind}.CODE], with a code of the shop's own."
        return [PartEntry("", "", {}, place, broken=(InputError("Parts are tables", todo=todo, place=place),))]
    return [_entry(kind, code, part, lines) for code, part in parts.items()]


def _entry(kind: str, code: str, part: object, lines: Lines) -> PartEntry:
    if not isinstance(part, dict):
        place = _place(lines, kind, code)
        todo = f"Write the part as a table of its own: [{kind}.CODE], and {code} below it."
        outside = InputError(f'"{code}" stands outside a part', todo=todo, place=place)
        return PartEntry("", "", {}, place, broken=(outside,))
    broken: tuple[InputError, ...] = ()
    if "code" in part and part["code"] != code:
        todo = "Leave the key out: the code stands in the head of the table."
        broken = (InputError("The code is not that of the head", todo=todo, place=_place(lines, kind, code, "code")),)
    places = {key: _place(lines, kind, code, key) for key in part}
    written = {key: value for key, value in part.items() if key != "code"}
    return PartEntry(kind, code, written, _place(lines, kind, code), places, broken)


def _place(lines: Lines, *keys: str) -> str:
    below = (line for place, line in lines.items() if place[: len(keys)] == keys)
    name, number = ".".join(keys), line_of(keys, lines) or min(below, default=None)
    return f"{name} (line {number})" if number else name


def _lines_of(part: Part) -> Iterator[str]:
    code = part.code if "." not in part.code else f'"{part.code}"'
    yield f"[{part.KIND}.{code}]"
    for key, value in part.values.items():
        field = type(part).model_fields[key]
        if key != "code" and (field.is_required() or value != field.default):
            yield f"{key} = {_value(value, field)}"


def _value(value: Any, field: Any) -> str:
    if isinstance(value, Measured):
        quantity = form_of(field, QuantityField)
        return _measured(value, quantity.kind if quantity else Kind.RATIO)
    if isinstance(value, MeasuredPoint):
        row = f"[{', '.join(_number(c, Kind.LENGTH) for c in (value.x, value.y, value.z))}]"
        return _stated("at", row, value, Kind.LENGTH)
    if (table := form_of(field, TableField)) is not None:
        kinds = [kind for _, kind in table.columns]
        rows = (", ".join(_number(c, kind) for c, kind in zip(row, kinds, strict=True)) for row in value)
        return f"[{', '.join(f'[{row}]' for row in rows)}]"
    if isinstance(value, bool):
        return str(value).lower()
    return str(value) if isinstance(value, (int, float, Decimal)) else _text(value)


def _measured(value: Measured, kind: Kind) -> str:
    return _stated("value", _number(value.value, kind), value, kind)


def _stated(key: str, written: str, value: Measured | MeasuredPoint, kind: Kind) -> str:
    """Short where nothing is said of band and origin."""
    if not value.plus_minus and not value.origin:
        return written
    parts = [f"{key} = {written}"]
    if value.plus_minus:
        parts.append(f"plus_minus = {_number(value.plus_minus, kind)}")
    if value.origin:
        parts.append(f"from = {_text(value.origin)}")
    return f"{{ {', '.join(parts)} }}"


def _number(si: float, kind: Kind) -> str:
    text = number_text(si, kind)
    return f'"{text}"' if " " in text else text


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
