"""`jounce influence`: which measurement, length or rate moves a result, and by how much."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.axle_choice import AxleChoice

if TYPE_CHECKING:
    from jounce.car.file.document import CarDocument
    from jounce.conventions.units import Kind


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
    from jounce.car.file.quantity import suggestion
    from jounce.car.file.reading import read_car
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import unit_of
    from jounce.layouts.naming import SIDES

    document = read_car(car)
    found = influences(document, axle.value, as_found_standing())
    side, _, rest = result.partition("_")
    name = f"{axle.value}.{side}.{rest}" if side in SIDES else f"{axle.value}.{result}"
    known = {key.removeprefix(f"{axle.value}.").replace(".", "_"): key for key in found.derivatives}
    if name not in found.derivatives:
        raise InputError("This axle has no such result", found=result, todo=suggestion(result, known))
    unit = unit_of(_kind(name, document), units)
    typer.echo(f"{result} as found: {found.values[name] / unit.factor:.4g} {unit.symbol}")
    typer.echo("one step up (1 mm; 0.1 deg; 1 % of anything else) changes it by")
    changes = found.strongest(name)
    for reference, change in changes[:top]:
        typer.echo(f"  {change / unit.factor:+12.4g} {unit.symbol:10}{reference.path}")
    if not changes:
        typer.echo("  nothing: no number of the car file reaches it")


def _kind(name: str, document: CarDocument) -> Kind:
    """What a result measures: a column of `travel`, or a figure of the standing axle."""
    from jounce.car.mechanics.given import spring_kind
    from jounce.conventions.axes import ENDS
    from jounce.conventions.quantities import QUANTITIES
    from jounce.conventions.units import Kind

    axle, _, result = name.partition(".")
    result = result.rpartition(".")[2]
    if result in QUANTITIES:
        return QUANTITIES[result].kind
    end = next(end for end in ENDS if end == axle)
    twisted = spring_kind(document.axle(end)) == "torsion bar"
    return {
        "wheel_rate": Kind.SPRING_RATE,
        "ride_rate": Kind.SPRING_RATE,
        "ride_frequency": Kind.FREQUENCY,
        "suspension_frequency": Kind.FREQUENCY,
        "roll_stiffness": Kind.ROLL_STIFFNESS,
        "spring_force": Kind.TORQUE if twisted else Kind.FORCE,
        "wound_up": Kind.ANGLE if twisted else Kind.LENGTH,
    }[result]
