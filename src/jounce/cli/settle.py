"""`jounce settle`: the car as it sits."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from jounce.behaviour.axle.sits import AxleSits, WheelSits
    from jounce.behaviour.bands import Band
    from jounce.car.file.document import CarDocument


def settle(
    car: Annotated[Path, typer.Argument(help="car file")],
    json_file: Annotated[str, typer.Option("--json", help="write SI values to this file, or - for the screen")] = "",
    units: Annotated[str, typer.Option("--units", help="metric, inch or kgf")] = "metric",
) -> None:
    """Preloads, wheel rates, frequencies, roll stiffness, twist and stress of the car as it was found standing."""
    from jounce.behaviour.axle.sits import axle_sits, loaded
    from jounce.behaviour.bands import bands
    from jounce.car.file.reading import read_car
    from jounce.car.file.writing import write_whole
    from jounce.car.mechanics.assembly import axle_model
    from jounce.cli.progress import shown_progress
    from jounce.cli.roll_bars_shown import bar_paragraphs, bar_values, bars_at_rest, inner_bar_paragraphs
    from jounce.cli.springs_shown import spring_paragraphs, spring_values, stacks_at_rest, turns_of_seats

    document = read_car(car)
    with shown_progress("following every ± through") as progress:
        found = bands(document, progress)
    models = (loaded(axle_model(document, "front"))[0], loaded(axle_model(document, "rear"))[0])
    front, rear = (axle_sits(model) for model in models)
    bars = bars_at_rest(document, models)
    stacks, seats = stacks_at_rest(models), turns_of_seats(document, models)
    if not json_file:
        _print(document, front, rear, found, units)
        for paragraph in (*bar_paragraphs(bars, units), *inner_bar_paragraphs(document, units)):
            typer.echo(paragraph)
        for paragraph in spring_paragraphs(stacks, seats, units):
            typer.echo(paragraph)
        return
    values = {
        "unit_system": "SI",
        "front": asdict(front),
        "rear": asdict(rear),
        "stress_pa": _stresses(document, {"front": front, "rear": rear}),
    }
    values["roll_bars"] = bar_values(bars)
    values |= spring_values(stacks, seats)
    values |= {"bands": {key: asdict(band) for key, band in found.items()}}
    text = json.dumps(values | {"front_share_of_roll_stiffness": _share(front, rear)}, indent=2, allow_nan=False)
    if json_file == "-":
        typer.echo(text)
        return
    write_whole(Path(json_file), text + "\n")


def _share(front: AxleSits, rear: AxleSits) -> float:
    return front.roll_stiffness / (front.roll_stiffness + rear.roll_stiffness)


def _stresses(document: CarDocument, axles: Mapping[str, AxleSits]) -> dict[str, float]:
    """Shear stress of each torsion bar at rest [Pa], by axle and side."""
    from jounce.car.mechanics.given import SIDE_OF
    from jounce.car.mechanics.torsion_bars import torsion_bar
    from jounce.conventions.axes import ENDS
    from jounce.layouts.naming import SIDES

    return {
        f"{end} {side}": float(torsion_bar(bar).shear_stress(axles[end].wheels[side].spring_force)[0])
        for end in ENDS
        for side in SIDES
        if (bar := getattr(document.axle(end).side(SIDE_OF[side]), "torsion_bar", None)) is not None
    }


def _print(document: CarDocument, front: AxleSits, rear: AxleSits, found: Mapping[str, Band], units: str) -> None:
    from jounce.conventions.units import Kind, show, unit_of

    typer.echo(f"{document.car.name}, as found")
    typer.echo(f"{'':36}{'front':>16}{'rear':>22}")
    typer.echo(f"{'':36}{'left':>10} {'right':>10} {'left':>10} {'right':>10}")
    wheels = [wheel for axle in (front, rear) for wheel in axle.wheels.values()]
    rows: list[tuple[str, Kind, list[float | None]]] = [
        ("wheel load", Kind.FORCE, [w.load for w in wheels]),
        ("sprung mass", Kind.MASS, [w.sprung_mass for w in wheels]),
        ("wheel rate, at the ground", Kind.SPRING_RATE, [w.wheel_rate for w in wheels]),
        ("one wheel alone", Kind.SPRING_RATE, [w.one_wheel_rate for w in wheels]),
        ("ride rate, tyre in series", Kind.SPRING_RATE, [w.ride_rate for w in wheels]),
        ("ride frequency, with tyre", Kind.FREQUENCY, [w.ride_frequency for w in wheels]),
        ("on the springs alone", Kind.FREQUENCY, [w.suspension_frequency for w in wheels]),
        ("spring loose at droop of", Kind.LENGTH, [w.loose_at for w in wheels]),
    ]
    for label, kind, values in rows:
        cells = ["none" if v is None else show(v, kind, units).split(" ")[0] for v in values]
        head = f"{label} [{unit_of(kind, units).symbol}]"
        typer.echo(f"{head:36}" + " ".join(f"{cell:>10}" for cell in cells))
    stresses = _stresses(document, {"front": front, "rear": rear})
    for name, axle in (("front", front), ("rear", rear)):
        for side, wheel in axle.wheels.items():
            _print_spring(f"{name} {side}", wheel, stresses.get(f"{name} {side}"), units)
    for name, axle in (("front", front), ("rear", rear)):
        parts = ", ".join(
            f"{group} {show(part, Kind.ROLL_STIFFNESS, units)}" for group, part in axle.roll_parts.items()
        )
        typer.echo(
            fill(
                f"roll stiffness {name}: {show(axle.roll_stiffness, Kind.ROLL_STIFFNESS, units)} ({parts})",
                80,
                subsequent_indent="  ",
            )
        )
    typer.echo(f"front share of roll stiffness: {_share(front, rear):.1%} (tyres excluded)")
    _print_bands(found, units)
    typer.echo(
        "Rates: both wheels rising together. Loose: droop of both wheels from as found; none: still\n"
        "loaded at the end of the linkage, or 300 mm down."
    )


def _print_spring(name: str, wheel: WheelSits, stress: float | None, units: str) -> None:
    """What one main spring carries; a stress is known of a torsion bar, any other spring is shortened."""
    from jounce.conventions.units import Kind, show

    if stress is not None:
        force, wound = show(wheel.spring_force, Kind.TORQUE, units), show(wheel.wound_up, Kind.ANGLE, units)
        typer.echo(f"{name} torsion bar: {force}, wound up {wound}, shear stress {show(stress, Kind.STRESS, units)}")
        return
    force, shortened = show(wheel.spring_force, Kind.FORCE, units), show(wheel.wound_up, Kind.LENGTH, units)
    typer.echo(f"{name} spring: {force}, compressed {shortened}, {wheel.motion_ratio:.3f} per wheel travel")


def _print_bands(found: Mapping[str, Band], units: str) -> None:
    """How sure the main results are, and what to measure again."""
    from jounce.conventions.certainty import MEANING
    from jounce.conventions.units import Kind, show

    typer.echo(f"How sure, and what it hangs on most ({MEANING}):")
    for key, label, kind in (
        ("front.left.wheel_rate", "front wheel rate", Kind.SPRING_RATE),
        ("rear.left.wheel_rate", "rear wheel rate", Kind.SPRING_RATE),
        ("front.left.ride_frequency", "front ride frequency", Kind.FREQUENCY),
        ("rear.left.ride_frequency", "rear ride frequency", Kind.FREQUENCY),
        ("front.roll_centre_height", "front roll centre", Kind.LENGTH),
        ("rear.roll_centre_height", "rear roll centre", Kind.LENGTH),
    ):
        band = found[key]
        causes = ", ".join(f"{path} {show(abs(change), kind, units)}" for path, change in band.causes[:2])
        text = f"  {label} ± {show(band.plus_minus, kind, units)}: {causes or 'no ± stated'}"
        typer.echo(fill(text, 80, subsequent_indent="    "))
