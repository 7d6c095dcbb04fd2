"""`jounce schema`: the JSON Schema of the car file, for editors that check while one types."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer


def schema(out: Annotated[str, typer.Argument(help="file to write, or - for the screen", metavar="OUT")] = "-") -> None:
    """Write the JSON Schema of the car file, which editors use to check while one types."""
    from jounce.car.file import write_whole
    from jounce.car.schema import car_schema

    text = json.dumps(car_schema(), indent=2, ensure_ascii=False)
    if out == "-":
        typer.echo(text)
    else:
        write_whole(Path(out), text + "\n")
