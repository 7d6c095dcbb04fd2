"""Commands that are read when they are called: none pays for the mechanics of another, nor for options not given."""

from __future__ import annotations

import gc
from importlib import import_module
from typing import TYPE_CHECKING, Any

import typer
from typer.core import TyperGroup

from jounce.questions.titles import TITLES

if TYPE_CHECKING:
    from typer._click.core import Context
    from typer._click.formatting import HelpFormatter

__all__ = ["LazyGroup", "of_option"]

_OWN = {
    "ask": "A question in your own words, answered by the numbers of a car or a job",
    "check": "Read car files and say what is wrong with them, and what is unusual",
    "job": "Work out a change list: the car as found, as planned, settings and checks",
    "beside": "Set two to four jobs on one car beside each other and the car as found",
    "fitted": "Write a new car file with the numbers that suit a garage's readings",
    "rounds": "The car is down and measured: what to turn now, round after round",
    "photographs": "Pivots from photographs of printed tiles: the tiles, what photographs show, every pivot with its ±",
    "search": "Judge every combination of parts; tell a good, a better and the best package",
    "sheet": "Print a sheet of a car or a job: A4 or Letter, in any unit set",
    "take-away": "Write a job as one file for its customer, which opens on any phone without a network",
    "serve": "Open the workbench on a shop book, for a browser",
    "book": "Cars, jobs, customers and parts of the shop, with their versions",
    "shelf": "The parts shelf: list, check, change from and into tables",
    "example": "Write the invented demo cars, job and shelf into a folder",
    "schema": "Write the JSON Schema of a car or job file, for editors",
    "stay": "Keep the mechanics in memory, so that later commands answer at once",
}
"""What each command does that is no question; it stands in the file of its name."""
_TOLD = _OWN | TITLES
_WITH_MORE = ("travel",)
"""Questions whose commands have an option of their own, in the file of their name."""
_EARLIER = {"roll-bar": "anti-roll-bar"}
"""Words of commands that go by another one now."""


class LazyGroup(TyperGroup):
    """The commands by their names, each read from its file when it is called."""

    def __init__(self, **attributes: Any) -> None:
        super().__init__(**attributes)
        self.commands: Any = dict.fromkeys(_TOLD)  # a slip of the keyboard is told the nearest of these names

    def list_commands(self, ctx: Context) -> list[str]:  # noqa: ARG002  # as the class above calls it
        """Names of all commands."""
        return list(_TOLD)

    def get_command(self, ctx: Context, cmd_name: str) -> Any:  # noqa: ARG002
        """A command by its name; None where there is none."""
        word = _EARLIER.get(cmd_name, cmd_name)
        if word not in _TOLD:
            return None
        own, name = word in _OWN or word in _WITH_MORE, word.replace("-", "_")
        told = getattr(_read(name), name) if own else _read("questions").command_of(word)
        if not isinstance(told, typer.Typer):
            told, function = typer.Typer(add_completion=False), told
            told.command(word)(function)
        return typer.main.get_command(told)

    def format_commands(self, ctx: Context, formatter: HelpFormatter) -> None:  # noqa: ARG002
        """The list of commands, without reading any."""
        for head, words in (("Commands", _OWN), ("Questions", TITLES)):
            with formatter.section(head):
                formatter.write_dl(list(words.items()))


def of_option(name: str) -> Any:
    """What a command needs for one of its options alone, read when the option is given.

    Args:
        name: of its file beside the commands, without the ending
    """
    return _read(name)


def _read(name: str) -> Any:
    """A file of this folder with all that it imports, which stays until the process ends.

    Meanwhile nothing is collected, and what was read is never looked through later: it would be a tenth of the whole time.
    """
    gc.disable()
    try:
        return import_module(f"jounce.cli.{name}")
    finally:
        gc.freeze()
        gc.enable()
