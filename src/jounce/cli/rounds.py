"""`jounce rounds`: the car is down and measured; what to turn now, round after round."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from jounce.car.file.reading import read_text
from jounce.case.case import case_of_file
from jounce.cli.answers import JSON_HELP, UNITS_HELP, tell_all, write_values
from jounce.conventions.errors import at
from jounce.measuring.afterwards import found_in
from jounce.questions.rounds import found_of_round, round_table, rounds_of

__all__ = ["rounds"]


def rounds(
    job: Annotated[Path, typer.Argument(help="job file", metavar="JOB")],
    found: Annotated[
        list[Path], typer.Argument(help="readings file of each round, the first one first", metavar="READINGS...")
    ],
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
) -> None:
    """Tell what to turn on a car that is down and measured, in teeth, turns, plates and rods, and what that will give.

    Each round but the last is taken to have been corrected as it was told.
    """
    given = []
    for path in found:
        with at(str(path)):
            given.append((found_of_round(found_in(read_text(path), str(path))), path is not found[-1]))
    told = rounds_of(case_of_file(job), given, units)
    tables = [round_table(number, one, units) for number, one in enumerate(told, start=1)]
    if json_file:
        write_values([table.as_json() for table in tables], json_file)
    else:
        tell_all(tables, units)
