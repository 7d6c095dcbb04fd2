"""`jounce example`: write the demo car."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Annotated

import typer


def example(directory: Annotated[Path, typer.Argument(help="folder to write into", metavar="DIR")]) -> None:
    """Write the invented demo car and job into a folder; a file that is there already is left alone."""
    from jounce.car.file import write_whole
    from jounce.conventions.errors import InputError

    directory.mkdir(parents=True, exist_ok=True)
    targets = [directory / name for name in ("brisk-14.toml", "brisk-14-lower.toml")]
    for target in targets:
        if target.exists():
            raise InputError("The file exists already", todo="Choose another folder.", place=str(target))
    for target in targets:
        write_whole(target, files("jounce.demo").joinpath(target.name).read_text("utf-8"))
        typer.echo(f"Wrote {target}.")
