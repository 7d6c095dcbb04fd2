"""`jounce roll-bar`: an anti-roll bar without a car."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.job.roll_bar_file import LoneRollBar

_LENGTH = "a length: 250, or with its unit"


def roll_bar(
    shape: Annotated[
        Path | None,
        typer.Argument(help="file with a bar: the keys of [front.roll_bar]"),
    ] = None,
    diameter: Annotated[
        list[str] | None, typer.Option("--diameter", help="diameter of the bar; one column each")
    ] = None,
    bore: Annotated[
        list[str] | None, typer.Option("--bore", help="bore of a hollow bar: one for all, or one for each --diameter")
    ] = None,
    lever: Annotated[str, typer.Option("--lever", help="straight arms: extent of the arm along the car")] = "",
    across: Annotated[str, typer.Option("--across", help="extent of the arm across the car, outward")] = "0",
    bend_to_bush: Annotated[str, typer.Option("--bend-to-bush", help="from the bend to the bush")] = "0",
    bush_to_middle: Annotated[
        str, typer.Option("--bush-to-middle", help="from the bush to the middle of the car")
    ] = "",
    travel: Annotated[str, typer.Option("--travel", help="travel of each end, for the stresses")] = "",
    force: Annotated[str, typer.Option("--force", help="force at each end, in place of the travel")] = "",
    tube: Annotated[str, typer.Option("--tube", help="outer diameter of a tube to replace the bar")] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """End rate, rate over the arms' angle, stress and mass of an anti-roll bar in several diameters, without a car."""
    from jounce.cli.answers import asked, tell
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import Kind
    from jounce.job.roll_bar_file import read_roll_bar
    from jounce.questions.roll_bar import Asked, roll_bar_table

    if travel and force:
        raise InputError("The load is given twice", found="--travel and --force", todo="Leave one out.")
    arms = {"--lever": lever, "--across": across, "--bend-to-bush": bend_to_bush, "--bush-to-middle": bush_to_middle}
    bar = read_roll_bar(shape) if shape is not None else _straight(arms, units)
    if not diameter and shape is None:
        raise InputError("The bar has no diameter", todo="Give --diameter, once or several times.")
    name = "Anti-roll bar with straight arms" if shape is None else f"Anti-roll bar of {shape}"
    tell(
        roll_bar_table(
            bar,
            Asked(
                _sizes(bar, diameter or [], bore or [], units),
                asked(travel, Kind.LENGTH, "--travel", units) if travel else None,
                asked(force, Kind.FORCE, "--force", units) if force else None,
                asked(tube, Kind.LENGTH, "--tube", units) if tube else None,
            ),
            name,
        ),
        units,
        json_file,
    )


def _straight(arms: dict[str, str], units: str) -> LoneRollBar:
    """A bar by the dimensions of its straight arms."""
    from jounce.cli.answers import asked
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import Kind
    from jounce.job.roll_bar_file import straight_arms

    missing = [option for option, text in arms.items() if not text]
    if missing:
        raise InputError(
            "The bar has no shape",
            found=f"no {' and no '.join(missing)}",
            todo="Name a file with its centre line, or give --lever, --across, --bend-to-bush and --bush-to-middle.",
        )
    return straight_arms(*(asked(text, Kind.LENGTH, option, units) for option, text in arms.items()))


def _sizes(bar: LoneRollBar, diameters: list[str], bores: list[str], units: str) -> tuple[tuple[float, float], ...]:
    """Diameter and bore of each column [m]; those of the file where no diameter is asked for."""
    from jounce.cli.answers import asked
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import Kind

    outer = [asked(text, Kind.LENGTH, "--diameter", units) for text in diameters] or [bar.diameter.value]
    inner = [asked(text, Kind.LENGTH, "--bore", units) for text in bores] or [
        0.0 if diameters else bar.inner_diameter.value
    ]
    if len(inner) == 1:
        inner = inner * len(outer)
    if len(inner) != len(outer):
        raise InputError(
            "The bores do not fit the diameters",
            found=f"{len(inner)} for {len(outer)}",
            allowed=f"1 or {len(outer)}",
            todo="Give --bore once, or once for each --diameter; 0 for a solid bar.",
        )
    return tuple(zip(outer, inner, strict=True))
