"""The `jounce` command and how it fails: one line to the user, never a traceback."""

from __future__ import annotations

import sys

import typer

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
    name="jounce", help="Suspension mechanics for a workshop.", no_args_is_help=True, add_completion=False
)
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


def app() -> None:
    """Run a command; an error that a person can act on is printed and ends with code 2."""
    try:
        commands()
    except JounceError as error:
        typer.echo(str(error), err=True)
        sys.exit(2)
    except BrokenPipeError:
        sys.exit(1)
