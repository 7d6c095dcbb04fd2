"""Writing parts as CSV, as :mod:`jounce.shelf.csv_in` reads them."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Any

from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.conventions.units import Kind, unit_of
from jounce.shelf.columns import KIND_HEAD, ShelfColumn, columns_of
from jounce.shelf.csv_in import GUARD, ROW_MARK
from jounce.shelf.kinds import KINDS
from jounce.shelf.number_text import number_text
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf

__all__ = ["csv_files", "wide_csv"]

_FORMULA = tuple("=+-@'\t")


def csv_files(shelf: Shelf, *, semicolon: bool = False) -> dict[str, str]:
    """One file for each kind that the shelf has: text by file name.

    Args:
        shelf: the parts
        semicolon: columns parted by semicolons and decimals with a comma, as many spreadsheets want it
    """
    files = {}
    for kind, model in KINDS.items():
        parts = list(shelf.of_kind(model))
        if parts:
            files[f"{kind}.csv"] = _text(parts, [], semicolon=semicolon)
    return files


def wide_csv(shelf: Shelf, *, semicolon: bool = False) -> str:
    """One file with all kinds.

    Args:
        shelf: the parts
        semicolon: columns parted by semicolons and decimals with a comma, as many spreadsheets want it
    """
    parts = sorted(shelf.parts, key=lambda part: list(KINDS).index(part.KIND))
    return _text(parts, [KIND_HEAD], semicolon=semicolon)


def _text(parts: Sequence[Part], heads: list[str], *, semicolon: bool) -> str:
    rows = [_cells(part, semicolon=semicolon) for part in parts]
    used = {head for row in rows for head in row}
    order = dict.fromkeys(head for part in parts for head in columns_of(type(part)))
    heads = [*heads, *(head for head in order if head in used)]
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=";" if semicolon else ",", lineterminator="\n")
    writer.writerow(heads)
    writer.writerows([row.get(head, "") for head in heads] for row in rows)
    return out.getvalue()


def _cells(part: Part, *, semicolon: bool) -> dict[str, str]:
    cells = {KIND_HEAD: part.KIND}
    told = part.values
    for column in columns_of(type(part)).values():
        field = type(part).model_fields[column.key]
        value = told.get(column.key)
        if value is None or (not field.is_required() and value == field.default):
            continue
        if column.unit and column.unit != unit_of(column.kinds[0]).symbol:
            continue
        cell = _cell(column, value)
        if cell:
            cells[column.head] = cell.replace(".", ",") if semicolon and column.numeric else cell
    return cells


def _cell(column: ShelfColumn, value: Any) -> str:
    if column.what == "from":
        return _guarded(value.origin)
    if column.what == "plus_minus":
        return _number(value.plus_minus, column.kinds[0]) if value.plus_minus else ""
    if isinstance(value, Measured):
        return _number(value.value, column.kinds[0])
    if isinstance(value, MeasuredPoint):
        return " ".join(_number(c, Kind.LENGTH) for c in (value.x, value.y, value.z))
    if column.form == "rows":
        rows = (" ".join(map(_number, row, column.kinds)) for row in value)
        return f" {ROW_MARK} ".join(rows)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return _guarded(value) if isinstance(value, str) else str(value)


def _number(si: float, kind: Kind) -> str:
    return number_text(si, kind)


def _guarded(text: str) -> str:
    """The text, so that no spreadsheet takes it for a formula."""
    return f"{GUARD}{text}" if text.startswith(_FORMULA) else text
