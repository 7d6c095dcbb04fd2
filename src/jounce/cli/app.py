"""The `jounce` command and how it fails: one line to the user, never a traceback."""

from __future__ import annotations

import sys

import typer

from jounce.cli.check import check
from jounce.cli.comply import comply
from jounce.cli.example import example
from jounce.cli.influence import influence
from jounce.cli.job import job
from jounce.cli.loads import loads
from jounce.cli.schema import schema
from jounce.cli.settle import settle
from jounce.cli.travel import travel
from jounce.conventions.errors import JounceError

commands = typer.Typer(
    name="jounce", help="Suspension mechanics for a workshop.", no_args_is_help=True, add_completion=False
)
for command in (check, travel, settle, influence, comply, loads, job, example, schema):
    commands.command()(command)


def app() -> None:
    """Run a command; an error that a person can act on is printed and ends with code 2."""
    try:
        commands()
    except JounceError as error:
        typer.echo(str(error), err=True)
        sys.exit(2)
    except BrokenPipeError:
        sys.exit(1)
