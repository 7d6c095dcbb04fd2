"""Answers on the terminal: a table with formula and source, or JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from jounce.conventions.units import Kind
    from jounce.job.answers.answer import Answer, AnswerTable

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
        from jounce.car.file import write_whole

        text = json.dumps(table.as_json(), indent=2, ensure_ascii=False, allow_nan=False)
        if json_file == "-":
            typer.echo(text)
        else:
            write_whole(Path(json_file), text + "\n")
        return
    typer.echo(table.question)
    _print_rows(table, units)
    for remark in table.remarks:
        typer.echo(f"- {remark}")


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
    from rich.box import SIMPLE_HEAD
    from rich.console import Console
    from rich.table import Table

    shown = Table(box=SIMPLE_HEAD, pad_edge=False)
    shown.add_column("")
    for name in table.columns:
        shown.add_column(name, justify="right", no_wrap=True)
    shown.add_column("formula")
    shown.add_column("source", style="dim")
    for row in table.rows:
        shown.add_row(row.name, *(_value(row, k, units) for k in range(len(table.columns))), row.formula, row.source)
    Console(width=None).print(shown)


def _value(row: Answer, column: int, units: str) -> str:
    from jounce.conventions.units import show

    value = row.values[column]
    if value is None:
        return "unknown"
    return value if isinstance(value, str) else show(value, row.kind, units)
