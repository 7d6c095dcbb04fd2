"""`jounce check`: read car files and say what is wrong or unusual."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Files = Annotated[list[Path], typer.Argument(help="car files", metavar="FILE...")]


def check(files: Files) -> None:
    """Read car files and say what is wrong with them, and what is unusual."""
    from jounce.car.file import read_car
    from jounce.conventions.errors import JounceError

    failed = False
    for path in files:
        try:
            document = read_car(path)
        except JounceError as error:
            failed = True
            typer.echo(str(error), err=True)
            continue
        typer.echo(f"{path}: {document.car.name} reads well.")
        for remark in document.remarks():
            typer.echo(f"  unusual: {remark}")
    if failed:
        raise typer.Exit(2)
