"""`jounce influence`: which measurement, length or rate moves a result, and by how much."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.travel import AxleChoice

if TYPE_CHECKING:
    from jounce.car.inputs import InputRef


def influence(
    car: Annotated[Path, typer.Argument(help="car file")],
    axle: Annotated[AxleChoice, typer.Option(help="which axle")],
    result: Annotated[
        str, typer.Option(help='what is moved: "left_bump_steer", "roll_centre_height", "left_wheel_rate"')
    ],
    top: Annotated[int, typer.Option(help="how many inputs to list", min=1)] = 12,
    units: Annotated[str, typer.Option("--units", help="metric, inch or kgf")] = "metric",
) -> None:
    """What moves a result of an axle as found: each input with what one small step of it changes.

    A step is 1 mm of a length, 0.1 degree of an angle, 1 % of anything else. Changes are exact derivatives times the
    step.
    """
    from jounce.behaviour.bands import as_found_standing
    from jounce.behaviour.influence import influences
    from jounce.car.file import read_car
    from jounce.car.quantity import suggestion
    from jounce.conventions.errors import InputError

    found = influences(read_car(car), axle.value, as_found_standing())
    side, _, rest = result.partition("_")
    name = f"{axle.value}.{side}.{rest}" if side in ("left", "right") else f"{axle.value}.{result}"
    known = {key.removeprefix(f"{axle.value}.").replace(".", "_"): key for key in found.derivatives}
    if name not in found.derivatives:
        raise InputError("This axle has no such result", found=result, todo=suggestion(result, known))
    changes = [(ref, found.derivatives[name][i] * _step(ref)) for i, ref in enumerate(found.inputs)]
    changes = [(ref, change) for ref, change in changes if change]
    changes.sort(key=lambda pair: -abs(pair[1]))
    _print(result, name, found.values[name], changes[:top], units)


def _step(reference: InputRef) -> float:
    """What counts as one small step of an input [SI]."""
    from jounce.conventions.units import DEG, MM, Kind

    return {Kind.LENGTH: MM, Kind.ANGLE: 0.1 * DEG}.get(reference.kind, 0.01 * abs(reference.value))


def _print(result: str, name: str, value: float, changes: list[tuple[InputRef, float]], units: str) -> None:
    from jounce.conventions.quantities import QUANTITIES
    from jounce.conventions.units import Kind, unit_of

    standing = {
        "wheel_rate": Kind.SPRING_RATE,
        "ride_rate": Kind.SPRING_RATE,
        "ride_frequency": Kind.FREQUENCY,
        "suspension_frequency": Kind.FREQUENCY,
        "roll_stiffness": Kind.ROLL_STIFFNESS,
    }
    last = name.rpartition(".")[2]
    kind = QUANTITIES[last].kind if last in QUANTITIES else standing.get(last)
    unit = None if kind is None else unit_of(kind, units)
    factor, symbol = (1.0, "SI") if unit is None else (unit.factor, unit.symbol)
    typer.echo(f"{result} as found: {value / factor:.4g} {symbol}")
    typer.echo("one step up (1 mm; 0.1 deg; 1 % of anything else) changes it by")
    for reference, change in changes:
        typer.echo(f"  {change / factor:+12.4g} {symbol:10}{reference.path}")
    if not changes:
        typer.echo("  nothing: no number of the car file reaches it")
