"""`jounce settle`: the car as it sits."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from jounce.behaviour.bands import Band
    from jounce.behaviour.sits import AxleSits
    from jounce.car.document import CarDocument


def settle(
    car: Annotated[Path, typer.Argument(help="car file")],
    json_file: Annotated[str, typer.Option("--json", help="write SI values to this file, or - for the screen")] = "",
) -> None:
    """Preloads, wheel rates, frequencies, roll stiffness, twist and stress of the car as it was found standing."""
    from jounce.behaviour.bands import as_found_standing, bands
    from jounce.behaviour.sits import axle_sits, loaded
    from jounce.car.assembly import axle_model
    from jounce.car.file import read_car, write_whole
    from jounce.cli.progress import shown_progress

    document = read_car(car)
    with shown_progress("following every ± through") as progress:
        found = bands(document, as_found_standing(), progress)
    front, rear = (axle_sits(loaded(axle_model(document, axle))[0]) for axle in ("front", "rear"))
    if not json_file:
        _print(document, front, rear, found)
        return
    values = {
        "unit_system": "SI",
        "front": asdict(front),
        "rear": asdict(rear),
        "stress_pa": _stresses(document, front),
    }
    values |= {"bands": {key: asdict(band) for key, band in found.items()}}
    text = json.dumps(values | {"front_share_of_roll_stiffness": _share(front, rear)}, indent=2, allow_nan=False)
    if json_file == "-":
        typer.echo(text)
        return
    write_whole(Path(json_file), text + "\n")


def _print_bands(found: Mapping[str, Band]) -> None:
    """How sure the main results are, and what to measure again."""
    typer.echo("How sure (from the stated ±), and what it hangs on most:")
    for key, label, factor, unit in (
        ("front.left.wheel_rate", "front wheel rate", 1e-3, "N/mm"),
        ("rear.left.wheel_rate", "rear wheel rate", 1e-3, "N/mm"),
        ("front.left.ride_frequency", "front ride frequency", 1.0, "Hz"),
        ("rear.left.ride_frequency", "rear ride frequency", 1.0, "Hz"),
        ("front.roll_centre_height", "front roll centre", 1e3, "mm"),
        ("rear.roll_centre_height", "rear roll centre", 1e3, "mm"),
    ):
        band = found[key]
        causes = ", ".join(f"{path} {abs(change) * factor:.2g}" for path, change in band.causes[:2])
        typer.echo(f"  {label} ±{band.plus_minus * factor:.2g} {unit}: {causes or 'no ± stated'}")


def _share(front: AxleSits, rear: AxleSits) -> float:
    return front.roll_stiffness / (front.roll_stiffness + rear.roll_stiffness)


def _stresses(document: CarDocument, front: AxleSits) -> dict[str, float]:
    """Shear stress of each torsion bar at rest [Pa]."""
    from jounce.car.assembly import torsion_bar_of
    from jounce.car.strut_torsion_bar import StrutTorsionBarAxle

    if not isinstance(document.front, StrutTorsionBarAxle):
        return {}
    sides = {"left": document.front.left, "right": document.front.right}
    return {
        name: float(torsion_bar_of(side).shear_stress(front.wheels[name].spring_force)[0])  # type: ignore[index]
        for name, side in sides.items()
    }


def _print(document: CarDocument, front: AxleSits, rear: AxleSits, found: Mapping[str, Band]) -> None:
    stress = _stresses(document, front)
    typer.echo(f"{document.car.name}, as found")
    typer.echo(f"{'':34}{'front':>20}{'rear':>22}")
    typer.echo(f"{'':34}{'left':>10} {'right':>10} {'left':>10} {'right':>10}")
    wheels = [axle.wheels[side] for axle in (front, rear) for side in ("left", "right")]
    rows: list[tuple[str, list[float | None], int]] = [
        ("wheel load [N]", [w.load for w in wheels], 0),
        ("sprung mass [kg]", [w.sprung_mass for w in wheels], 1),
        ("wheel rate, at contact [N/mm]", [w.wheel_rate / 1e3 for w in wheels], 2),
        ("ride rate, tyre in series [N/mm]", [w.ride_rate / 1e3 for w in wheels], 2),
        ("ride frequency, with tyre [Hz]", [w.ride_frequency for w in wheels], 2),
        ("  on the springs alone [Hz]", [w.suspension_frequency for w in wheels], 2),
        ("spring loose at droop of [mm]", [None if w.loose_at is None else w.loose_at * 1e3 for w in wheels], 1),
    ]
    for label, values, digits in rows:
        cells = " ".join(f"{'not found' if v is None else f'{v:.{digits}f}':>10}" for v in values)
        typer.echo(f"{label:34}{cells}")
    for side, value in stress.items():
        wheel = front.wheels[side]  # type: ignore[index]
        typer.echo(
            f"front {side} torsion bar: {wheel.spring_force:.0f} N·m, wound up {math.degrees(wheel.wound_up):.1f}°, "
            f"shear stress {value / 1e6:.0f} MPa"
        )
    for side in ("left", "right"):
        wheel = rear.wheels[side]  # type: ignore[index]
        typer.echo(f"rear {side} coil: {wheel.spring_force:.0f} N, compressed {wheel.wound_up * 1e3:.1f} mm")
    per_degree = math.pi / 180
    for name, axle in (("front", front), ("rear", rear)):
        parts = ", ".join(f"{group} {part * per_degree:.0f}" for group, part in axle.roll_parts.items())
        typer.echo(f"roll stiffness {name}: {axle.roll_stiffness * per_degree:.0f} N·m/deg ({parts})")
    typer.echo(f"front share of roll stiffness: {_share(front, rear):.1%} (tyres excluded)")
    _print_bands(found)
    typer.echo("Rates: both wheels rising together; 'loose' is droop of both wheels from as found.")
