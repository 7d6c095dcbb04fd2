"""`jounce fitted`: a new car file with the numbers that suit a garage's readings."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from jounce.car.file.reading import parse_car, read_text
from jounce.car.file.writing import write_new
from jounce.conventions.errors import at
from jounce.fit.car_fit import fit_car
from jounce.fit.fitted_file import FITTED, fitted_text
from jounce.fit.readings_file import parse_readings
from jounce.questions.fit import SHARED

__all__ = ["fitted"]


def fitted(
    car: Annotated[Path, typer.Argument(help="car file that was read on")],
    readings: Annotated[Path, typer.Argument(help="readings file")],
    new: Annotated[Path, typer.Argument(help="car file to write; one that is there is never replaced")],
) -> None:
    """Write a new car file with the numbers that suit the readings: one consistent set, what was measured beside each."""
    text = read_text(car)
    document = parse_car(text, str(car))
    given = parse_readings(read_text(readings), str(readings))
    with at(str(car)):
        written = fitted_text(text, fit_car(document, given.readings, given.wider))
    write_new({new: written})
    typer.echo(
        f"Wrote {new}: {written.count(FITTED)} numbers and points fitted together. Do not fit it to these readings again."
    )
    typer.echo(SHARED)
