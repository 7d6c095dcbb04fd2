"""`jounce example`: write the demo cars, the demo job and the parts shelf."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Annotated

import typer

from jounce.car.file.writing import make_folder, write_new


def example(directory: Annotated[Path, typer.Argument(help="folder to write into", metavar="DIR")]) -> None:
    """Write the invented demo cars, job and shelf into a folder; if one of the files is there, nothing is written."""
    demo = (entry for entry in files("jounce.demo").iterdir() if entry.name.endswith(".toml"))
    texts = {entry.name: entry.read_text("utf-8") for entry in sorted(demo, key=lambda entry: entry.name)}
    make_folder(directory)
    write_new({directory / name: text for name, text in texts.items()})
    for name in texts:
        typer.echo(f"Wrote {directory / name}.")
