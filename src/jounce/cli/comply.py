"""`jounce comply`: what an axle on its bushes gives under forces at its wheels."""

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
    from collections.abc import Iterator, Mapping, Sequence

    from jounce.behaviour.axle.compliance import Compliance, On, Wheels
    from jounce.car.mechanics.bushes import JointedAxle
    from jounce.conventions.compliance_quantities import Force
    from jounce.conventions.quantity import Quantity
    from jounce.conventions.units import Kind
    from jounce.numerics.arrays import Array

_NAME, _CELL = 28, 13
_SHOWN: tuple[On, ...] = ("both", "opposed")


def comply(
    car: Annotated[Path, typer.Argument(help="car file")],
    axle: Annotated[AxleChoice, typer.Option(help="which axle")],
    at: Annotated[list[str] | None, typer.Option("--at", help=AT_HELP)] = None,
    rigid: Annotated[bool, typer.Option("--rigid", help="take every joint as ideal in spite of its bush")] = False,  # noqa: FBT002
    free: Annotated[  # noqa: FBT002
        bool,
        typer.Option("--free", help="let the wheels go up and down under constant loads; else their height is held"),
    ] = False,
    csv_file: Annotated[str, typer.Option("--csv", help="write every change to this file, or - for the screen")] = "",
    units: Annotated[str, typer.Option("--units", help="metric, inch or kgf")] = "metric",
) -> None:
    """List what an axle on its bushes gives under side, braking and driving forces and aligning torque.

    Body and steering gear are held. Changes are small ones, per unit of force on each wheel; both: on both wheels the
    same way; opposed: on the right wheel the other way. As found every bush carries its load and is not twisted.
    """
    from jounce.behaviour.axle.bushed import bushed_axle
    from jounce.behaviour.axle.compliance import compliance
    from jounce.behaviour.axle.sits import loaded
    from jounce.car.file.reading import read_car
    from jounce.car.file.writing import write_whole
    from jounce.car.mechanics.assembly import axle_model
    from jounce.car.mechanics.bushes import jointed_axle
    from jounce.cli.standing_at import states_at
    from jounce.conventions.errors import at as placed_at

    document = read_car(car)
    model = loaded(axle_model(document, axle.value))[0]
    states = states_at(at or (), model, units)
    with placed_at(str(car)):
        jointed = jointed_axle(document, axle.value, rigid=rigid)
    wheels: Wheels = "free" if free else "held"
    found = compliance(bushed_axle(model, jointed), states, wheels)
    if csv_file == "-":
        sys.stdout.write(_csv(found, units))
        return
    if csv_file:
        write_whole(Path(csv_file), _csv(found, units))
        return
    ideal = compliance(bushed_axle(model, jointed_axle(document, axle.value, rigid=True)), states)
    typer.echo(f"{document.car.name}, {axle.value} axle, wheels {' '.join(at or ()) or 'as found'}")
    typer.echo(fill(_bushes_told(jointed, rigid=rigid), 80))
    _print(found, units)
    _print_rates(found, ideal, units)
    typer.echo(
        f"Body and steering gear held, wheels {'free under constant loads' if free else 'held at their height'}."
    )


def _bushes_told(jointed: JointedAxle, *, rigid: bool) -> str:
    sites = jointed.linkage.sites.values()
    names = dict.fromkeys(site.name.replace("_", " ") for site in sites if site.gives)
    if names:
        return f"Bushes: {', '.join(names)}; every other joint is ideal."
    return f"{'Taken' if rigid else 'The file gives no bushes for this axle: taken'} with ideal joints, nothing gives."


def _rows(found: Compliance, force: Force) -> Iterator[tuple[Quantity, Kind, Sequence[str]]]:
    """Quantities that this axle has under a force, with their kind and columns."""
    from jounce.conventions.compliance_quantities import COMPLIANCE_QUANTITIES, kind_under
    from jounce.layouts.naming import SIDES

    for quantity in COMPLIANCE_QUANTITIES.values():
        columns = [quantity.name] if quantity.per == "axle" else [f"{side}_{quantity.name}" for side in SIDES]
        kind = kind_under(quantity, force)
        if kind is not None and columns[0] in found.columns:
            yield quantity, kind, columns


def _print(found: Compliance, units: str) -> None:
    from jounce.conventions.compliance_quantities import FORCES
    from jounce.conventions.units import unit_of

    for name, force in FORCES.items():
        typer.echo("")
        typer.echo(f"{force.title}, {force.sense}")
        typer.echo(f"{'':{_NAME}}" + "".join(f"{on:>{2 * _CELL}}" for on in _SHOWN))
        typer.echo(f"{'':{_NAME}}" + "".join(f"{side:>{_CELL}}" for _ in _SHOWN for side in ("left", "right")))
        values = {on: found.of(name, on) for on in _SHOWN}
        for quantity, kind, columns in _rows(found, force):
            head = f"{quantity.label} [{unit_of(kind, units).symbol}]"
            cells = [_cell(values[on], column, kind, units) for on in _SHOWN for column in (*columns, "")[:2]]
            typer.echo(f"{head:{_NAME}}{''.join(cells)}".rstrip())


def _cell(values: Mapping[str, Array], column: str, kind: Kind, units: str) -> str:
    from jounce.conventions.units import to_display, unit_of

    if not column:
        return " " * _CELL
    unit = unit_of(kind, units)
    return f"{round(to_display(float(values[column][0]), kind, units), unit.decimals) + 0.0:>{_CELL}.{unit.decimals}f}"


def _print_rates(found: Compliance, ideal: Compliance, units: str) -> None:
    from jounce.conventions.units import Kind, show
    from jounce.layouts.naming import SIDES

    typer.echo("")
    for k, side in enumerate(SIDES):
        soft, hard = (show(float(c.wheel_rate[0, k]), Kind.SPRING_RATE, units) for c in (found, ideal))
        typer.echo(f"wheel rate {side}: {soft} on the bushes, {hard} with ideal joints")


def _csv(found: Compliance, units: str) -> str:
    from jounce.conventions.compliance_quantities import FORCES
    from jounce.conventions.units import to_display, unit_of

    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["force", "on", "column", "value", "unit"])
    for name, on in found.cases:
        values = found.of(name, on)
        for _, kind, columns in _rows(found, FORCES[name]):
            unit = unit_of(kind, units)
            for column in columns:
                shown = to_display(float(values[column][0]), kind, units) + 0.0
                writer.writerow([name, on, column, f"{shown:.9g}", unit.symbol])
    return text.getvalue()
