"""The `jounce` command and how it fails: one line to the user, never a traceback."""

from __future__ import annotations

import sys
import tempfile
import traceback
from importlib.metadata import version
from pathlib import Path
from typing import Annotated

import typer

from jounce.cli.lazy import LazyGroup
from jounce.conventions.errors import JounceError

commands = typer.Typer(
    name="jounce",
    cls=LazyGroup,
    rich_markup_mode=None,
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
    from jounce.car.file.writing import write_whole  # what failed may have been its import

    record = "".join(traceback.format_exception(fault))
    try:
        path = Path(tempfile.mkdtemp(prefix="jounce-fault-")) / "record.txt"
        write_whole(path, record)
    except (OSError, JounceError):
        return f"{told} Its record could not be written:\n{record.splitlines()[-1]}"
    return f"{told} Please send the file {path} together with the car and job files to whoever looks after it."
