"""`jounce travel`: the question, and the table of quantities with ``--list``."""

from __future__ import annotations

from inspect import Parameter
from itertools import groupby
from textwrap import fill
from typing import Annotated

import typer

from jounce.cli.questions import command_of
from jounce.conventions.quantities import QUANTITIES

__all__ = ["travel"]


def _list_quantities(asked: bool) -> None:  # noqa: FBT001  # as the option calls it
    """Print the table of quantities and end, when it is asked for."""
    if not asked:
        return
    for group, members in groupby(QUANTITIES.values(), lambda quantity: quantity.group):
        typer.echo(f"{group}")
        for quantity in members:
            text = f"{quantity.name} [{quantity.unit}], {quantity.per}: {quantity.definition}"
            text += f" Positive: {quantity.positive_when}. ({quantity.source})"
            typer.echo(fill(text, 80, initial_indent="  ", subsequent_indent="      "))
    raise typer.Exit


_LIST = typer.Option("--list", help="print the table of quantities and end", is_eager=True, callback=_list_quantities)

travel = command_of(
    "travel", [Parameter("_list", Parameter.KEYWORD_ONLY, annotation=Annotated[bool, _LIST], default=False)]
)
