"""`jounce check`: read car files and say what is wrong or unusual."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from jounce.behaviour.plausible import result_remarks
from jounce.car.file.reading import parse_car, read_text
from jounce.car.file.toml_lines import lines_of_keys
from jounce.conventions.errors import JounceError

Files = Annotated[list[Path], typer.Argument(help="car files", metavar="FILE...")]


def check(files: Files) -> None:
    """Read car files and say what is wrong with them, and what is unusual."""
    failed = False
    for path in files:
        try:
            text = read_text(path)
            document = parse_car(text, str(path))
        except JounceError as error:
            failed = True
            typer.echo(str(error), err=True)
            continue
        typer.echo(f"{path}: {document.car.name} reads well.")
        lines = lines_of_keys(text)
        for remark in document.remarks():
            typer.echo(f"  unusual: {remark.located(lines)}")
        try:
            for remark in result_remarks(document):
                typer.echo(f"  unusual: {remark.located(lines)}")
        except JounceError as error:
            failed = True
            typer.echo(f"{path}: {error}", err=True)
    if failed:
        raise typer.Exit(2)
