"""`jounce schema`: the JSON Schema of the car file or the job file, for editors that check while one types."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from jounce.car.file.schema import car_schema
from jounce.car.file.writing import write_whole
from jounce.job.schema import job_schema


def schema(
    out: Annotated[str, typer.Argument(help="file to write, or - for the screen", metavar="OUT")] = "-",
    job: Annotated[bool, typer.Option("--job", help="of the job file in place of the car file")] = False,  # noqa: FBT002
) -> None:
    """Write the JSON Schema of the car file or the job file, which editors use to check while one types."""
    text = json.dumps(job_schema() if job else car_schema(), indent=2, ensure_ascii=False)
    if out == "-":
        typer.echo(text)
    else:
        write_whole(Path(out), text + "\n")
