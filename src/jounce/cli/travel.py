"""`jounce travel`: an axle along a motion, as a table or CSV."""

from __future__ import annotations

import csv
import io
import sys
from enum import Enum
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from jounce.behaviour.travel import TravelTable
    from jounce.car.model import AxleModel


class AxleChoice(str, Enum):
    """Which axle."""

    front = "front"
    rear = "rear"


class MotionChoice(str, Enum):
    """Which motion."""

    heave = "heave"
    roll = "roll"
    left = "left"
    right = "right"
    steer = "steer"


def travel(
    car: Annotated[Path, typer.Argument(help="car file")],
    axle: Annotated[AxleChoice, typer.Option(help="which axle")],
    motion: Annotated[MotionChoice, typer.Option(help="how it is moved")],
    start: Annotated[float, typer.Option("--from", help="first drive value: mm; roll: degrees")],
    end: Annotated[float, typer.Option("--to", help="last drive value")],
    step: Annotated[float, typer.Option("--step", help="step between values")],
    csv_file: Annotated[str, typer.Option("--csv", help="write every column to this file, or - for the screen")] = "",
    units: Annotated[str, typer.Option("--units", help="metric, inch or kgf")] = "metric",
) -> None:
    """Move an axle through its travel, roll or steer and list every angle, ratio and centre.

    Travel and rack displacement (positive to the left) are in the unit set's length, roll in degrees (positive right
    side down). An empty cell means that the quantity does not exist there.
    """
    import numpy as np

    from jounce.behaviour.travel import travel_table
    from jounce.car.assembly import axle_model
    from jounce.car.file import read_car, write_whole
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import Kind, to_si

    if step <= 0 or not np.isfinite([start, end, step]).all() or end < start or (end - start) / step > 1e6:
        raise InputError(
            "The sweep is not a range",
            found=f"--from {start:g} --to {end:g} --step {step:g}",
            allowed="--from below --to, a positive --step, at most a million states",
            todo="Correct the three options.",
        )
    kind = Kind.ANGLE if motion is MotionChoice.roll else Kind.LENGTH
    shown = start + step * np.arange(int(np.floor((end - start) / step + 1e-9)) + 1)
    model = axle_model(read_car(car), axle.value)
    if motion is MotionChoice.steer and f"{axle.value}.rack" not in model.stand.joints:
        raise InputError(
            f"The {axle.value} axle has no steering", todo="Choose another motion or axle.", place=str(car)
        )
    table = travel_table(
        model.stand, model.linkage, motion.value, to_si(np.asarray(shown, dtype=np.float64), kind, units)
    )
    if csv_file == "-":
        sys.stdout.write(_csv(table, units))
    elif csv_file:
        write_whole(Path(csv_file), _csv(table, units))
    else:
        _print(table, units)
    if not csv_file and motion is MotionChoice.heave:
        _print_stops(model, units)
    if not table.reached.any():
        typer.echo("The linkage reaches none of the positions asked for: ask for less.", err=True)
    elif not table.reached.all():
        low, high = shown[table.reached][[0, -1]]
        typer.echo(f"The linkage reaches only from {low:g} to {high:g}; the other rows are empty.", err=True)


def _csv(table: TravelTable, units: str) -> str:
    from jounce.conventions.units import column, to_display

    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([column(c.name, c.kind, units) for c in table.columns])
    values = [to_display(c.values, c.kind, units) for c in table.columns]
    for row in zip(*values, strict=True):
        writer.writerow(["" if value != value else f"{value + 0.0:.9f}" for value in row])
    return text.getvalue()


def _print_stops(model: AxleModel, units: str) -> None:
    """How far both wheels can go together, and what stops them."""
    from jounce.behaviour.reach import stops_met
    from jounce.conventions.units import Kind, show

    for at in ("bump", "droop"):
        met = [stop for stop in stops_met(model) if stop.at == at]
        text = ", ".join(
            f"{stop.name}{'' if stop.side is None else f' {stop.side}'} {show(stop.travel, Kind.LENGTH, units)}"
            for stop in met
        )
        typer.echo(fill(f"{at} from as found: {text or 'nothing known within 200 mm'}", 80, subsequent_indent="  "))


_FEW = ("travel", "camber", "toe", "caster", "steer")
_FEW_OF_AXLE = ("track_change", "roll_centre_height", "axle_shift", "axle_steer")


def _print(table: TravelTable, units: str) -> None:
    """The few columns that fit 80 characters: the left wheel and the axle; --csv gives all."""
    from jounce.conventions.units import to_display, unit_of

    names = {c.name: c for c in table.columns}
    drive = table.columns[0]
    few = [f"left_{n}" for n in _FEW if f"left_{n}" in names] + [n for n in _FEW_OF_AXLE if n in names]
    chosen = [drive, *(names[n] for n in few)]
    heads = [[*[*c.name.removeprefix("left_").split("_"), "", ""][:2], unit_of(c.kind, units).symbol] for c in chosen]
    for line in range(3):
        typer.echo(" ".join(f"{head[line]:>8.8}" for head in heads))
    for row in zip(*(to_display(c.values, c.kind, units) for c in chosen), strict=True):
        typer.echo(" ".join(f"{'':>8}" if v != v else f"{v + 0.0:8.2f}" for v in row))
    typer.echo("Left wheel and axle; --csv - lists both wheels and every quantity.")
