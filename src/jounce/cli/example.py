"""`jounce example`: write the demo cars, the demo job and the parts shelf."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Annotated

import typer


def example(directory: Annotated[Path, typer.Argument(help="folder to write into", metavar="DIR")]) -> None:
    """Write the invented demo cars, job and shelf into a folder; if one of the files is there, nothing is written."""
    from jounce.car.file import write_whole
    from jounce.conventions.errors import InputError

    demo = (entry for entry in files("jounce.demo").iterdir() if entry.name.endswith(".toml"))
    texts = {entry.name: entry.read_text("utf-8") for entry in sorted(demo, key=lambda entry: entry.name)}
    directory.mkdir(parents=True, exist_ok=True)
    for name in texts:
        if (directory / name).exists():
            raise InputError("The file exists already", todo="Choose another folder.", place=str(directory / name))
    for name, text in texts.items():
        write_whole(directory / name, text)
        typer.echo(f"Wrote {directory / name}.")
