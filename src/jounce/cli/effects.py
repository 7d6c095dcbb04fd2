"""`jounce effects`: what one step of every adjuster does to heights, weights and angles of the whole car."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.questions.effects import Effects


def effects(
    file: Annotated[Path, typer.Argument(help="car file, or job file for the car as planned")],
    csv_file: Annotated[
        str, typer.Option("--csv", help="write one line per change to this file, or - for the screen")
    ] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """What one tooth, turn or millimetre of every adjuster, and every load aboard, does to the whole car."""
    from jounce.car.file.writing import write_whole
    from jounce.case.case import case_of_file
    from jounce.cli.answers import tell_all
    from jounce.questions.effects import effects_of, effects_tables

    asked = case_of_file(file).last
    found = effects_of(asked.document, asked.car, f"{asked.document.car.name}, {asked.title}")
    if csv_file:
        text = _csv(found, units)
        if csv_file == "-":
            typer.echo(text, nl=False)
            return
        write_whole(Path(csv_file), text)
    tell_all(effects_tables(found), units, json_file)


def _csv(found: Effects, units: str) -> str:
    import csv
    import io

    from jounce.conventions.units import to_display, unit_of
    from jounce.questions.effects import effects_rows

    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["adjuster", "step", "quantity", "unit", "change"])
    for name, step, changes in effects_rows(found):
        if changes is None:
            writer.writerow([name, step, "no rest", "", ""])
            continue
        for quantity, (kind, change) in changes.items():
            shown = to_display(change, kind, units) + 0.0
            writer.writerow([name, step, quantity, unit_of(kind, units).symbol, f"{shown:.6g}"])
    return out.getvalue()
