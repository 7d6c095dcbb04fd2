"""Answers on the terminal: a table with formula and source, or JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING

import typer

from jounce.conventions.quantity import OURS

if TYPE_CHECKING:
    from jounce.conventions.units import Kind
    from jounce.job.answer_table import Answer, AnswerTable

JSON_HELP = "write SI values to this file, or - for the screen"
UNITS_HELP = "metric, inch or kgf"


def tell(table: AnswerTable, units: str, json_file: str = "") -> None:
    """Print an answer, or write it as JSON.

    Args:
        table: the answer
        units: unit set in which numbers are shown
        json_file: file for SI values, "-" for the screen, empty for the table
    """
    if json_file:
        _write(table.as_json(), json_file)
    else:
        _print(table, units)


def tell_all(tables: Sequence[AnswerTable], units: str, json_file: str = "") -> None:
    """Print several answers one below the other, or write them as one JSON list.

    Args:
        tables: the answers
        units: unit set in which numbers are shown
        json_file: file for SI values, "-" for the screen, empty for the tables
    """
    if json_file:
        _write([table.as_json() for table in tables], json_file)
        return
    for i, table in enumerate(tables):
        if i:
            typer.echo("")
        _print(table, units)


def _write(values: object, json_file: str) -> None:
    from jounce.car.file.writing import write_whole

    text = json.dumps(values, indent=2, ensure_ascii=False, allow_nan=False)
    if json_file == "-":
        typer.echo(text)
    else:
        write_whole(Path(json_file), text + "\n")


def _print(table: AnswerTable, units: str) -> None:
    typer.echo(table.question)
    _print_rows(table, units)
    for remark in table.remarks:
        typer.echo(fill(remark, 80, initial_indent="- ", subsequent_indent="  "))


def asked(text: str, kind: Kind, option: str, units: str) -> float:
    """A value of an option in SI: a bare number is in the unit set, or it carries its own unit.

    Args:
        text: what was written
        kind: what it measures
        option: the option's name, for the message
        units: unit set of bare numbers

    Raises:
        InputError: not a number, or a unit of something else
    """
    from jounce.conventions.errors import at
    from jounce.conventions.units import read, unit_of

    with at(option):
        return read(text, kind, unit_of(kind, units).symbol)


def _print_rows(table: AnswerTable, units: str) -> None:
    """Names with units and values as a table; below it how each number came about."""
    cells = [[_value(row, k, units) for k in range(len(table.columns))] for row in table.rows]
    names = [_titled(row, units) for row in table.rows]
    first = max(map(len, names), default=0)
    widths = [max(len(head), *(len(row[k]) for row in cells)) for k, head in enumerate(table.columns)]
    typer.echo(" " * first + "  " + "  ".join(f"{head:>{w}}" for head, w in zip(table.columns, widths, strict=True)))
    for name, values in zip(names, cells, strict=True):
        shown = "  ".join(f"{value:>{width}}" for value, width in zip(values, widths, strict=True))
        typer.echo(f"{name:{first}}  {shown}")
    for row in table.rows:
        source = "" if row.source == OURS or not row.source else f" [{row.source}]"
        if row.formula or source:
            how = f"{row.name.strip()}: {row.formula}{source}"
            typer.echo(fill(how, 80, initial_indent="  ", subsequent_indent="    "))


def _titled(row: Answer, units: str) -> str:
    """Name and unit; no unit where there is nothing to measure."""
    from jounce.conventions.units import unit_of

    numbers = any(isinstance(value, float) for value in row.values)
    unit = unit_of(row.kind, units).symbol if numbers else "-"
    return row.name if unit == "-" else f"{row.name}, {unit}"


def _value(row: Answer, column: int, units: str) -> str:
    from jounce.conventions.units import to_display, unit_of

    value = row.values[column]
    if value is None:
        return "unknown"
    if isinstance(value, str):
        return value
    decimals = unit_of(row.kind, units).decimals
    number, band = (
        f"{round(float(to_display(x, row.kind, units)), decimals) + 0.0:.{decimals}f}"
        for x in (value, row.band(column))
    )
    return f"{number} ± {band}" if band.strip("0.") else number
