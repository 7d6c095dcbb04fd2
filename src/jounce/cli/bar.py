"""`jounce bar`: quick questions about a torsion bar, without a car."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP

if TYPE_CHECKING:
    from jounce.elements.bars.materials import SpringSteel


def bar(
    diameter: Annotated[
        list[str] | None, typer.Option("--diameter", help="of the bar; may be given several times")
    ] = None,
    against: Annotated[list[str] | None, typer.Option("--against", help="another diameter to compare with")] = None,
    rate: Annotated[list[str] | None, typer.Option("--rate", help="at the arm's end: the diameter that has it")] = None,
    length: Annotated[str, typer.Option("--length", help="active length of the bar")] = "",
    lever: Annotated[str, typer.Option("--lever", help="arm from the bar's line to the load")] = "",
    bore: Annotated[str, typer.Option("--bore", help="of a hollow bar")] = "0",
    angle: Annotated[str, typer.Option("--angle", help="of the arm from level under load, + upwards")] = "0",
    load: Annotated[str, typer.Option("--load", help="on the arm's end, vertical; the sprung weight if left out")] = "",
    sprung: Annotated[str, typer.Option("--sprung", help="mass over the arm's end, for the frequency")] = "",
    series: Annotated[str, typer.Option("--series", help="torsional rate of what gives besides the bar")] = "",
    splines_arm: Annotated[int, typer.Option("--splines-arm", help="number of splines at the arm", min=0)] = 0,
    splines_anchor: Annotated[int, typer.Option("--splines-anchor", help="number of splines at the anchor", min=0)] = 0,
    steel: Annotated[
        str, typer.Option("--steel", help="hot-formed, cold-drawn, chrome-vanadium or music-wire")
    ] = "hot-formed",
    modulus: Annotated[str, typer.Option("--modulus", help="shear modulus, in place of the steel's")] = "",
    limit: Annotated[str, typer.Option("--limit", help="permissible shear stress, in place of the steel's")] = "",
    preset: Annotated[bool, typer.Option("--preset", help="the bar was twisted beyond yield by its maker")] = False,  # noqa: FBT002
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Torsion bars at a lever: rates, twist, stress, slack and teeth, several side by side; or the diameter for a rate.

    "What does a 24 mm bar of 1,010 mm give at a 290 mm lever?": jounce bar --diameter 24 --length 1010 --lever 290.
    """
    from jounce.cli.answers import asked, tell
    from jounce.conventions.errors import InputError
    from jounce.conventions.units import Kind
    from jounce.questions.bar import BarAsked, bar_answers

    if not length:
        raise InputError(
            "A bar needs its length", found="no --length", todo="Give the active length, between the splines."
        )

    def optional(text: str, kind: Kind, option: str) -> float | None:
        return asked(text, kind, option, units) if text else None

    question = BarAsked(
        length=asked(length, Kind.LENGTH, "--length", units),
        lever=optional(lever, Kind.LENGTH, "--lever"),
        bore=asked(bore, Kind.LENGTH, "--bore", units),
        angle=asked(angle, Kind.ANGLE, "--angle", units),
        load=optional(load, Kind.FORCE, "--load"),
        sprung_mass=optional(sprung, Kind.MASS, "--sprung"),
        series=optional(series, Kind.TORSIONAL_RATE, "--series"),
        splines_arm=splines_arm or None,
        splines_anchor=splines_anchor or None,
        steel=_steel(steel),
        shear_modulus=optional(modulus, Kind.MODULUS, "--modulus"),
        preset=preset,
        stress_limit=optional(limit, Kind.STRESS, "--limit"),
    )
    diameters = [asked(text, Kind.LENGTH, "--diameter", units) for text in [*(diameter or ()), *(against or ())]]
    rates = [asked(text, Kind.SPRING_RATE, "--rate", units) for text in rate or ()]
    tell(bar_answers(question, diameters, rates, units), units, json_file)


def _steel(word: str) -> SpringSteel:
    from jounce.conventions.errors import InputError
    from jounce.elements.bars.materials import STEEL_OF_WORD

    if word not in STEEL_OF_WORD:
        raise InputError(
            "This steel is not in the table",
            found=f'--steel "{word}"',
            allowed=", ".join(STEEL_OF_WORD),
            todo="Choose one of these, or give --modulus and --limit.",
        )
    return STEEL_OF_WORD[word]
