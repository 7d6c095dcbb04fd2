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
    from collections.abc import Mapping, Sequence

    from jounce.behaviour.axle.travel import Column, TravelTable
    from jounce.car.mechanics.model import AxleModel
    from jounce.conventions.units import Kind
    from jounce.numerics.arrays import Array


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


def _list_quantities(asked: bool) -> None:  # noqa: FBT001  # as the option calls it
    """Print the table of quantities and end, when it is asked for."""
    if not asked:
        return
    from itertools import groupby

    from jounce.conventions.quantities import QUANTITIES

    for group, members in groupby(QUANTITIES.values(), lambda quantity: quantity.group):
        typer.echo(f"{group}")
        for quantity in members:
            text = f"{quantity.name} [{quantity.unit}], {quantity.per}: {quantity.definition}"
            text += f" Positive: {quantity.positive_when}. ({quantity.source})"
            typer.echo(fill(text, 80, initial_indent="  ", subsequent_indent="      "))
    raise typer.Exit


def travel(
    car: Annotated[Path, typer.Argument(help="car file")],
    axle: Annotated[AxleChoice, typer.Option(help="which axle")],
    motion: Annotated[MotionChoice, typer.Option(help="how it is moved")],
    start: Annotated[float, typer.Option("--from", help="first drive value: mm; roll, steering box: degrees")],
    end: Annotated[float, typer.Option("--to", help="last drive value")],
    step: Annotated[float, typer.Option("--step", help="step between values")],
    also: Annotated[
        list[str] | None,
        typer.Option("--also", help='another drive and the value it is held at: "heave=20", "roll=1.5", "rack=10"'),
    ] = None,
    quantities: Annotated[str, typer.Option("--quantities", help="names of quantities to list, with commas")] = "",
    csv_file: Annotated[str, typer.Option("--csv", help="write every column to this file, or - for the screen")] = "",
    units: Annotated[str, typer.Option("--units", help="metric, inch or kgf")] = "metric",
    _list: Annotated[  # noqa: FBT002  # the option's own callback has done all
        bool,
        typer.Option("--list", help="print the table of quantities and end", is_eager=True, callback=_list_quantities),
    ] = False,
) -> None:
    """Move an axle through its travel, roll or steer and list every angle, ratio and centre.

    Travel and rack displacement (positive to the left) are in the unit set's length, roll (positive right side down)
    and the turn of a steering box's pitman arm in degrees. An empty cell means that the quantity does not exist there.
    """
    from jounce.behaviour.axle.context import car_context
    from jounce.behaviour.axle.travel import travel_table
    from jounce.car.file.reading import read_car
    from jounce.car.file.writing import write_whole
    from jounce.car.mechanics.assembly import axle_model
    from jounce.conventions.quantities import quantities_named
    from jounce.conventions.units import to_si

    names = quantities_named(quantities.split(","))
    shown = _sweep(start, end, step)
    document = read_car(car)
    model = axle_model(document, axle.value)
    kind = _drive_kind(model, motion, car)
    held = _held(also or (), model, motion, units)
    drive = to_si(shown, kind, units)
    table = travel_table(model.stand, model.linkage, motion.value, drive, held, car_context(document, axle.value))
    columns = _chosen(table, names) if names else table.columns
    if csv_file == "-":
        sys.stdout.write(_csv(columns, units))
    elif csv_file:
        write_whole(Path(csv_file), _csv(columns, units))
    elif names:
        _print(columns, units)
    else:
        _print(_few(table), units)
        typer.echo("Left wheel and axle; --csv - lists both wheels and every quantity.")
    if not csv_file:
        _print_stops(model, motion, held, units)
    _print_unreached(table, shown)


def _sweep(start: float, end: float, step: float) -> Array:
    """Drive values as the person counts them."""
    import numpy as np

    from jounce.conventions.errors import InputError

    if step <= 0 or not np.isfinite([start, end, step]).all() or end < start or (end - start) / step > 1e6:
        raise InputError(
            "The sweep is not a range",
            found=f"--from {start:g} --to {end:g} --step {step:g}",
            allowed="--from below --to, a positive --step, at most a million states",
            todo="Correct the three options.",
        )
    return np.asarray(start + step * np.arange(int(np.floor((end - start) / step + 1e-9)) + 1), dtype=np.float64)


def _gear(model: AxleModel) -> str | None:
    from jounce.behaviour.axle.motions import steering_drive

    return steering_drive(model.stand, model.name)


def _drive_kind(model: AxleModel, motion: MotionChoice, car: Path) -> Kind:
    """What the motion's drive measures; refuses to steer an axle that has no steering."""
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import Kind

    gear = _gear(model)
    if motion is MotionChoice.steer and gear is None:
        raise InputError(
            f"The {model.name} axle has no steering", todo="Choose another motion or axle.", place=str(car)
        )
    is_angle = motion is MotionChoice.roll or (motion is MotionChoice.steer and gear == "pitman")
    return Kind.ANGLE if is_angle else Kind.LENGTH


def _held(also: Sequence[str], model: AxleModel, motion: MotionChoice, units: str) -> dict[str, float]:
    """Values at which other drives are held, SI."""
    from jounce.cli.standing_at import drive_kinds, drives_written

    kinds = drive_kinds(model)
    kinds.pop(str(_gear(model)) if motion is MotionChoice.steer else motion.value)
    return drives_written(also, ("--also", "This cannot be held along the motion"), kinds, units)


def _chosen(table: TravelTable, names: Sequence[str]) -> list[Column]:
    """The drive and the named columns, of a wheel's quantity both sides; refuses what this axle does not have."""
    from jounce.conventions.errors import InputError

    drive, *others = table.columns
    chosen = [drive]
    for name in names:
        found = [c for c in others if name in (c.name, c.quantity.name)]
        if not found and drive.name != name:
            raise InputError(
                "This axle has no such quantity in this motion",
                found=name,
                todo="Leave it out; --csv - lists all that there are.",
            )
        chosen += [column for column in found if column not in chosen]
    return chosen


def _csv(columns: Sequence[Column], units: str) -> str:
    from jounce.conventions.units import column, to_display

    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([column(c.name, c.kind, units) for c in columns])
    values = [to_display(c.values, c.kind, units) for c in columns]
    for row in zip(*values, strict=True):
        writer.writerow(["" if value != value else f"{value + 0.0:.9f}" for value in row])
    return text.getvalue()


def _print_stops(model: AxleModel, motion: MotionChoice, held: Mapping[str, float], units: str) -> None:
    """How far the moving wheels can go, and what stops them; for heave and single wheels."""
    from jounce.behaviour.axle.reach import stops_met
    from jounce.conventions.units import Kind, show
    from jounce.layouts.naming import SIDES

    if motion in (MotionChoice.roll, MotionChoice.steer) or "roll" in held:
        return
    moving = tuple(side for side in SIDES if motion.value in (side, MotionChoice.heave.value))
    standing = (held.get("left", 0.0), held.get("right", 0.0))
    steered = held.get("rack", held.get("pitman", 0.0))
    met = stops_met(model, standing, moving=moving, steered=steered)
    for at in ("bump", "droop"):
        text = ", ".join(
            f"{stop.name}{'' if stop.side is None else f' {stop.side}'} {show(stop.travel, Kind.LENGTH, units)}"
            for stop in met
            if stop.at == at
        )
        of = "" if len(moving) == len(SIDES) else f" of the {moving[0]} wheel"
        typer.echo(fill(f"{at}{of} from as found: {text or 'nothing known within 200 mm'}", 80, subsequent_indent="  "))


def _print_unreached(table: TravelTable, shown: Array) -> None:
    if not table.reached.any():
        typer.echo("The linkage reaches none of the positions asked for: ask for less.", err=True)
    elif not table.reached.all():
        low, high = shown[table.reached][[0, -1]]
        typer.echo(f"The linkage reaches only from {low:g} to {high:g}; the other rows are empty.", err=True)
    if table.reason:
        typer.echo(fill(f"Why: the linkage {table.reason}.", 80, subsequent_indent="  "), err=True)


_FEW = ("travel", "camber", "toe", "caster", "steer")
_FEW_OF_AXLE = ("track_change", "roll_centre_height", "axle_shift", "axle_steer")
_NARROWEST = 8  # characters of a column


def _few(table: TravelTable) -> list[Column]:
    """The few columns that fit 80 characters: the drive, the left wheel and the axle."""
    names = {c.name: c for c in table.columns}
    few = [f"left_{n}" for n in _FEW if f"left_{n}" in names] + [n for n in _FEW_OF_AXLE if n in names]
    return [table.columns[0], *(names[n] for n in few)]


def _print(columns: Sequence[Column], units: str) -> None:
    """Columns side by side, each under its name, one word a line, and its unit."""
    from jounce.conventions.units import to_display, unit_of

    shown = [unit_of(c.kind, units) for c in columns]
    one_side = not any(c.side == "right" for c in columns)
    words = [(c.quantity.name if one_side else c.name).split("_") for c in columns]
    depth = max(map(len, words))
    heads = [[*name, *[""] * (depth - len(name)), unit.symbol] for name, unit in zip(words, shown, strict=True)]
    widths = [max(_NARROWEST, *map(len, head)) for head in heads]
    for line in zip(*heads, strict=True):
        typer.echo(" ".join(f"{word:>{width}}" for word, width in zip(line, widths, strict=True)))
    decimals = [max(2, unit.decimals) for unit in shown]
    for row in zip(*(to_display(c.values, c.kind, units) for c in columns), strict=True):
        cells = zip(row, widths, decimals, strict=True)
        typer.echo(" ".join(f"{'':>{w}}" if v != v else f"{round(v, d) + 0.0:{w}.{d}f}" for v, w, d in cells))
