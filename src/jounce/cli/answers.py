"""Answers on the terminal: a table with formula and source, or JSON."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from pathlib import Path
from textwrap import fill

import typer

from jounce.car.file.writing import write_whole
from jounce.conventions.errors import at
from jounce.conventions.quantity import OURS
from jounce.conventions.units import Kind, read, unit_of
from jounce.job.answer_table import Answer, AnswerTable
from jounce.questions.question import Lines

CSV_HELP = "write its rows for a spreadsheet to this file, or - for the screen"
JSON_HELP = "write SI values to this file, or - for the screen"
KEEPS_HELP = "the shop book: where the job stands in it, its ledger keeps what is promised"
PHRASES_HELP = "language, de, or phrase file with the house's words"
UNITS_HELP = "metric, inch or kgf"


def tell_all(tables: Sequence[AnswerTable], units: str) -> None:
    """Print answers one below the other.

    Args:
        tables: the answers
        units: unit set in which numbers are shown
    """
    for i, table in enumerate(tables):
        if i:
            typer.echo("")
        _print(table, units)


def write_values(values: object, json_file: str) -> None:
    """Write plain data as JSON.

    Args:
        values: what is written
        json_file: the file, "-" for the screen
    """
    text = json.dumps(values, indent=2, ensure_ascii=False, allow_nan=False)
    if json_file == "-":
        typer.echo(text)
    else:
        write_whole(Path(json_file), text + "\n")


def write_rows(rows: Lines, csv_file: str) -> None:
    """Write rows for a spreadsheet.

    Args:
        rows: what is written, the heads first
        csv_file: the file, "-" for the screen
    """
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    if csv_file == "-":
        typer.echo(out.getvalue(), nl=False)
    else:
        write_whole(Path(csv_file), out.getvalue())


def _print(table: AnswerTable, units: str) -> None:
    if table.question:
        typer.echo(table.question)
    for line in table.plain:
        typer.echo(line)
    if table.along:
        _print_along(table, units)
    elif table.rows:
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
    with at(option):
        return read(text, kind, unit_of(kind, units).symbol)


def _print_rows(table: AnswerTable, units: str) -> None:
    """Names with units and values as a table, in blocks that fit the screen; below it how each number came about."""
    names = ["", *(_titled(row, units) for row in table.rows)]
    first = max(map(len, names))
    columns = [[head, *(_value(row, k, units) for row in table.rows)] for k, head in enumerate(table.columns)]
    columns = [[f"  {cell:>{max(map(len, column))}}" for cell in column] for column in columns]
    for i, block in enumerate(_blocks(columns, _WIDTH - first)):
        if i:
            typer.echo("")
        for name, *cells in zip(names, *block, strict=True):
            if len(block) == len(columns) or "".join(cells).strip():  # what no column of a block has stands in another
                typer.echo(f"{name:{first}}{''.join(cells)}")
    for row in table.rows:
        source = "" if row.source == OURS or not row.source else f" [{row.source}]"
        if row.formula or source:
            how = f"{row.name.strip()}: {row.formula}{source}"
            typer.echo(fill(how, 80, initial_indent="  ", subsequent_indent="    "))


def _blocks(columns: list[list[str]], width: int) -> list[list[list[str]]]:
    """Columns that stand beside each other, about as many in each block; one that is too wide stands alone."""
    for blocks in range(1, len(columns) + 1):
        across = -(-len(columns) // blocks)
        found = [columns[k : k + across] for k in range(0, len(columns), across)]
        if across == 1 or all(sum(len(column[0]) for column in block) <= width for block in found):
            return found
    return [columns]


def _print_along(table: AnswerTable, units: str) -> None:
    """One line for each point; each quantity stands under its name, one word a line, and its unit."""
    heads = [[*row.name.split(), unit_of(row.kind, units).symbol] for row in table.rows]
    cells = [[_value(row, k, units) for k in range(len(table.columns))] for row in table.rows]
    deep = max(map(len, heads), default=0)
    heads = [[*words[:-1], *[""] * (deep - len(words)), words[-1].strip("-")] for words in heads]
    widths = [max(_NARROWEST, *map(len, head), *map(len, row)) for head, row in zip(heads, cells, strict=True)]
    first = max(map(len, table.columns), default=0)
    for line in zip(*heads, strict=True):
        typer.echo(" " * first + " " + " ".join(f"{word:>{width}}" for word, width in zip(line, widths, strict=True)))
    for k, column in enumerate(table.columns):
        row = " ".join(f"{values[k]:>{width}}" for values, width in zip(cells, widths, strict=True))
        typer.echo(f"{column:>{first}} {row}")


_NARROWEST = 8  # characters of a column
_WIDTH = 80  # characters of the screen


def _titled(row: Answer, units: str) -> str:
    """Name and unit; no unit where there is nothing to measure."""
    numbers = any(isinstance(value, float) for value in row.values)
    unit = unit_of(row.kind, units).symbol if numbers else "-"
    return row.name if unit == "-" else f"{row.name}, {unit}"


def _value(row: Answer, column: int, units: str) -> str:
    value = row.values[column]
    if value is None:
        return "unknown"
    if isinstance(value, str):
        return value
    number, band = (row.number(x, units) for x in (value, row.band(column)))
    return f"{number} ± {band}" if band.strip("0.") else number
