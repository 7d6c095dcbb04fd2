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
    import numpy as np

    from jounce.cli.answers import asked, tell_all
    from jounce.cli.cars_asked import cars_asked
    from jounce.conventions.units import Kind
    from jounce.job.on_road import braked
    from jounce.questions.braking import braking_tables

    written = at or ["-0.3 g", "-0.6 g", "-0.8 g", "0.3 g"]
    ahead = np.array([asked(text, Kind.ACCELERATION, "--at", units) for text in written])
    cars = cars_asked(file)
    tables = braking_tables(cars[0].document.car.name, {one.title: braked(one.state, ahead) for one in cars})
    tell_all(tables, units, json_file)
