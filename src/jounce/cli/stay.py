"""`jounce stay`: the mechanics kept in memory, for quick commands."""

from __future__ import annotations

from typing import Annotated

import typer

from jounce.cli.staying.place import is_possible
from jounce.conventions.errors import InputError


def stay(
    *,
    end: Annotated[bool, typer.Option("--end", help="end the process that stays")] = False,
    minutes: Annotated[
        float, typer.Option("--for", help="minutes without any command after which it ends", min=0.01, max=1440.0)
    ] = 30.0,
) -> None:
    """Keep the mechanics in memory: later commands on this machine answer at once."""
    if not is_possible():
        raise InputError("No process can stay on this system", allowed="Linux", todo="Every command runs by itself.")
    from jounce.cli.staying import starting  # noqa: PLC0415  # it reads what other systems do not have

    if end:
        typer.echo("It has ended." if starting.end() else "There was none.")
        return
    if starting.prolong(60.0 * minutes):
        typer.echo(f"The mechanics are in memory already, and stay until {minutes:g} minutes pass without a command.")
        return
    starting.end()  # one that was read from another state of the program
    starting.start(60.0 * minutes)
    typer.echo(
        f"The mechanics stay in memory, and commands answer at once, until {minutes:g} minutes pass without one "
        "or `jounce stay --end`."
    )
