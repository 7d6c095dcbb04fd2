"""`jounce loads`: what every joint, rod and spring of an axle carries in a table of load cases."""

from __future__ import annotations

import csv
import io
import sys
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.axle_choice import AxleChoice
from jounce.cli.standing_at import AT_HELP

if TYPE_CHECKING:
    from collections.abc import Sequence

    from jounce.behaviour.axle.load_rows import LoadRow
    from jounce.conventions.units import Kind

_NAME, _CELL = 24, 8
_NOTHING = 1e-6  # below this a part carries rounding [N or N m]
_ACROSS = (80 - _NAME) // _CELL


def loads(
    car: Annotated[Path, typer.Argument(help="car file")],
    axle: Annotated[AxleChoice, typer.Option(help="which axle")],
    cases: Annotated[
        Path | None, typer.Option("--cases", help="table of load cases; the one of common practice when left out")
    ] = None,
    at: Annotated[list[str] | None, typer.Option("--at", help=AT_HELP)] = None,
    case: Annotated[int, typer.Option("--case", help="number of one case, listed with all directions")] = 0,
    csv_file: Annotated[str, typer.Option("--csv", help="write every force to this file, or - for the screen")] = "",
    units: Annotated[str, typer.Option("--units", help="metric, inch or kgf")] = "metric",
) -> None:
    """List what every joint, rod and main spring carries, for forces under the wheels.

    The joints are ideal and the axle stands still where it is put. Each main spring carries what it must there;
    anti-roll bars, bump stops and gas forces what their position gives. No proof of strength.
    """
    import numpy as np

    from jounce.behaviour.axle.load_cases import common_cases, forces_of, read_cases
    from jounce.behaviour.axle.load_rows import load_rows
    from jounce.behaviour.axle.loads import axle_loads
    from jounce.behaviour.axle.sits import loaded
    from jounce.car.file.reading import read_car
    from jounce.car.file.writing import write_whole
    from jounce.car.mechanics.assembly import axle_model
    from jounce.car.mechanics.bushes import jointed_axle
    from jounce.cli.standing_at import states_at
    from jounce.conventions.errors import check_range

    document = read_car(car)
    model = loaded(axle_model(document, axle.value))[0]
    table = common_cases() if cases is None else read_cases(cases)
    forces = forces_of(table, model)
    check_range("The number of the case", case, 0, len(forces.names), "", "The list of cases has the numbers.")
    states = states_at(at or (), model, units)
    found = axle_loads(model, jointed_axle(document, axle.value, rigid=True).linkage, forces, states)
    rows = load_rows(found, model)
    if csv_file == "-":
        sys.stdout.write(_csv(rows, found.cases, units))
        return
    if csv_file:
        write_whole(Path(csv_file), _csv(rows, found.cases, units))
        return
    typer.echo(f"{document.car.name}, {axle.value} axle, wheels {' '.join(at or ()) or 'as found'}")
    busy = [row for row in rows if np.abs(row.size).max() > _NOTHING]
    if case:
        typer.echo(f"case {case}: {found.cases[case - 1]}")
        _print_one(busy, case - 1, units)
    else:
        for number, name in enumerate(found.cases, start=1):
            typer.echo(f"case {number}: {name}")
        _print_all(busy, len(found.cases), units)
    _print_notes(busy, [row for row in rows if all(row is not one for one in busy)])


def _print_all(rows: Sequence[LoadRow], cases: int, units: str) -> None:
    """One line for each part, one column for each case."""
    from jounce.conventions.units import Kind, unit_of

    force, torque = (unit_of(kind, units).symbol for kind in (Kind.FORCE, Kind.TORQUE))
    across = -(-cases // -(-cases // _ACROSS))  # as many in each table, whatever their number
    for first in range(0, cases, across):
        chosen = range(first, min(first + across, cases))
        typer.echo("")
        typer.echo(f"{f'{force}; * {torque}':>{_NAME - 1}} " + "".join(f"{f'case {n + 1}':>{_CELL}}" for n in chosen))
        for row in rows:
            head = f"{row.label:.{_NAME - 3}}{' *' if row.kind is Kind.TORQUE else ''}"
            typer.echo(f"{head:{_NAME}}" + "".join(f"{_shown(row.size[n], row.kind, units):>{_CELL}}" for n in chosen))


def _shown(value: float, kind: Kind, units: str) -> str:
    """A number in its unit, without it."""
    from jounce.conventions.units import to_display, unit_of

    unit = unit_of(kind, units)
    return f"{round(to_display(float(value), kind, units), unit.decimals) + 0.0:.{unit.decimals}f}"


def _print_one(rows: Sequence[LoadRow], case: int, units: str) -> None:
    """One line for each part, its force in the car's axes."""
    from jounce.conventions.units import unit_of

    typer.echo(f"{'':31}{'force on':19}{'x':>7}{'y':>7}{'z':>7}{'size':>8}")
    for row in rows:
        vector = ("", "", "") if row.force is None else [_shown(f, row.kind, units) for f in row.force[case]]
        head = f"{row.label:.22} [{unit_of(row.kind, units).symbol}]"
        cells = "".join(f"{cell:>7}" for cell in vector)
        typer.echo(f"{head:31}{row.on:19.18}{cells}{_shown(row.size[case], row.kind, units):>8}")


def _print_notes(rows: Sequence[LoadRow], idle: Sequence[LoadRow]) -> None:
    typer.echo("")
    if idle:
        typer.echo(fill(f"Nothing is carried by: {', '.join(row.label for row in idle)}.", 80))
    notes = (
        "Joints: size of the force. Rods: tension positive. Springs: what they carry, positive compressed or wound up."
    )
    typer.echo(fill(notes, 80))
    pulling = [row.label for row in rows if row.cannot_pull and (row.size < 0).any()]
    if pulling:
        typer.echo(fill(f"{', '.join(pulling)} would have to pull: in that case the wheel hangs on its damper.", 80))
    typer.echo(
        fill(
            "Loads of a rigid axle standing still: shocks, wear and fatigue are not in them, and they prove no strength.",
            80,
        )
    )


def _csv(rows: Sequence[LoadRow], cases: Sequence[str], units: str) -> str:
    from jounce.conventions.units import Kind, column, to_display

    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    forces = [column(f"force_{axis}", Kind.FORCE, units) for axis in "xyz"]
    ends = [column("size", Kind.FORCE, units), column("torque", Kind.TORQUE, units)]
    writer.writerow(["case", "part", "kind", "on", *forces, *ends])
    for number, name in enumerate(cases):
        for row in rows:
            vector = (
                ["", "", ""]
                if row.force is None
                else [f"{to_display(float(f), row.kind, units) + 0.0:.6f}" for f in row.force[number]]
            )
            size = f"{to_display(float(row.size[number]), row.kind, units) + 0.0:.6f}"
            is_torque = row.kind is Kind.TORQUE
            writer.writerow([name, row.name, row.part, row.on, *vector, *(("", size) if is_torque else (size, ""))])
    return text.getvalue()
