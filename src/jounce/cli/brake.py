"""`jounce brake`: what braking and driving do in a straight line."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from jounce.cli.answers import JSON_HELP, UNITS_HELP


def brake(
    file: Annotated[Path, typer.Argument(help="car file, or job file for as found beside as planned")],
    at: Annotated[
        list[str] | None, typer.Option("--at", help='acceleration to tell, negative in braking: "-0.5 g"')
    ] = None,
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Pitch, loads, how far nose and tail move, and how much grip brakes and drive use, straight ahead."""
    from jounce.case.case import case_of_file
    from jounce.cli.answers import asked, tell_all
    from jounce.conventions.units import Kind
    from jounce.questions.catalogue import QUESTIONS

    question = QUESTIONS["brake"]
    given = question.as_first()
    if at:
        given["at"] = tuple(asked(text, Kind.ACCELERATION, "--at", units) for text in at)
    tell_all(question.answer(case_of_file(file), given, units), units, json_file)
