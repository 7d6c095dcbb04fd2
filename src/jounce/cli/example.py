"""`jounce example`: write the demo car."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Annotated

import typer


def example(directory: Annotated[Path, typer.Argument(help="folder to write into", metavar="DIR")]) -> None:
    """Write the invented demo car into a folder; a file that is there already is left alone."""
    from jounce.conventions.errors import InputError

    directory.mkdir(parents=True, exist_ok=True)
    target = directory / "brisk-14.toml"
    if target.exists():
        raise InputError("The file exists already", todo="Choose another folder.", place=str(target))
    partial = target.with_suffix(".part")
    partial.write_text(files("jounce.demo").joinpath("brisk-14.toml").read_text("utf-8"), "utf-8")
    partial.replace(target)
    typer.echo(f"Wrote {target}.")
