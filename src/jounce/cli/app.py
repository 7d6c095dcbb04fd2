"""The `jounce` command and how it fails: one line to the user, never a traceback."""

from __future__ import annotations

import sys
import tempfile
import traceback
from importlib.metadata import version
from pathlib import Path
from typing import Annotated

import typer

from jounce.car.file.writing import write_whole
from jounce.cli.bar import bar
from jounce.cli.book import book
from jounce.cli.brake import brake
from jounce.cli.check import check
from jounce.cli.coil import coil
from jounce.cli.comply import comply
from jounce.cli.corner import corner
from jounce.cli.damper import damper
from jounce.cli.effects import effects
from jounce.cli.example import example
from jounce.cli.index import index
from jounce.cli.influence import influence
from jounce.cli.job import job
from jounce.cli.loads import loads
from jounce.cli.ride import ride
from jounce.cli.roll_bar import roll_bar
from jounce.cli.schema import schema
from jounce.cli.search import search
from jounce.cli.serve import serve
from jounce.cli.settle import settle
from jounce.cli.sheet import sheet
from jounce.cli.shelf import shelf
from jounce.cli.travel import travel
from jounce.cli.weigh import weigh
from jounce.conventions.errors import JounceError

commands = typer.Typer(
    name="jounce",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)


def _tell_version(asked: bool) -> None:  # noqa: FBT001  # the value of an option
    """Print the version and end, where it was asked for."""
    if asked:
        typer.echo(f"jounce {version('jounce')}")
        raise typer.Exit


@commands.callback()
def of_all(
    *,
    _asked: Annotated[
        bool, typer.Option("--version", help="print the version and end", callback=_tell_version, is_eager=True)
    ] = False,
) -> None:
    """Suspension mechanics for a workshop."""


for command in (
    check,
    travel,
    settle,
    influence,
    comply,
    loads,
    weigh,
    corner,
    brake,
    ride,
    bar,
    coil,
    damper,
    effects,
    index,
    roll_bar,
    search,
    job,
    sheet,
    serve,
    example,
    schema,
):
    commands.command()(command)
commands.add_typer(book, name="book")
commands.add_typer(shelf, name="shelf")


FAULT = 70
"""Exit code of a fault in the program itself, as the header sysexits.h has it."""


def app() -> None:
    """Run a command; an error that a person can act on is printed and ends with code 2.

    A fault of the program itself ends with `FAULT`: in one sentence, its record in a file for whoever mends it.
    """
    try:
        commands()
    except JounceError as error:
        typer.echo(str(error), err=True)
        sys.exit(2)
    except BrokenPipeError:
        sys.exit(1)
    except Exception as fault:  # noqa: BLE001  # the last door before the user: whatever it is, no traceback goes through
        typer.echo(_fault_told(fault), err=True)
        sys.exit(FAULT)


def _fault_told(fault: Exception) -> str:
    """What a person is told of a fault of the program, and where its record was put."""
    told = f"This is a fault of the program ({type(fault).__name__}), not of what you typed; no answer can be given."
    record = "".join(traceback.format_exception(fault))
    try:
        path = Path(tempfile.mkdtemp(prefix="jounce-fault-")) / "record.txt"
        write_whole(path, record)
    except (OSError, JounceError):
        return f"{told} Its record could not be written:\n{record.splitlines()[-1]}"
    return f"{told} Please send the file {path} together with the car and job files to whoever looks after it."
