"""A command from a question: its options are what the question asks for, and every command takes the same three more."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from inspect import Parameter, Signature
from pathlib import Path
from textwrap import fill
from typing import Annotated, Any

import typer

from jounce.car.file.quantity import Measured, read_measured
from jounce.car.file.reading import read_text
from jounce.case.case import case_of_file
from jounce.cli.answers import CSV_HELP, JSON_HELP, UNITS_HELP, asked, tell_all, write_rows, write_values
from jounce.conventions.errors import at
from jounce.conventions.units import show, unit_of
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import (
    ALL_STATES,
    Asked,
    Choice,
    Content,
    Number,
    Sought,
    Switch,
    Whole,
    Written,
)

__all__ = ["command_of"]

_FILE_HELP = "car file, or job file for as found beside as planned"
_ONE_STATE_HELP = "car file, or job file for the car as planned"


def command_of(word: str, extra: Sequence[Parameter] = ()) -> Callable[..., None]:
    """The command that asks a question.

    Args:
        word: the question's word
        extra: options of the command alone, done by their own callbacks
    """
    question = QUESTIONS[word]

    def command(**typed: Any) -> None:
        units, json_file, csv_file = typed["units"], typed["json_file"], typed["csv_file"]
        given = {ask.name: read for ask in question.asks if (read := _read(ask, typed[ask.name], units)) is not None}
        case = None if question.of_part else case_of_file(typed["file"])
        what = Asked(question.filled(given), units, case)
        if csv_file:
            write_rows(question.rows(what), csv_file)
            for note in () if question.notes is None else question.notes(what):
                typer.echo(fill(note, 80, subsequent_indent="  "), err=True)
        if json_file:
            write_values(question.told(what), json_file)
        if not json_file and csv_file != "-":
            tell_all(question.answer(what), units)

    told = _ONE_STATE_HELP if ALL_STATES in question.asks else _FILE_HELP
    file = [] if question.of_part else [_parameter("file", Path, typer.Argument(help=told))]
    own = [_option(ask) for ask in question.asks]
    shared = [
        _parameter("csv_file", str, typer.Option("--csv", help=CSV_HELP), ""),
        _parameter("json_file", str, typer.Option("--json", help=JSON_HELP), ""),
        _parameter("units", str, typer.Option("--units", help=UNITS_HELP), "metric"),
    ]
    parameters = [*file, *own, *extra, *shared]
    command.__doc__ = question.about
    command.__annotations__ = {one.name: one.annotation for one in parameters}
    vars(command)["__signature__"] = Signature(parameters)
    return command


def _parameter(name: str, kind: Any, told: Any, first: Any = Parameter.empty) -> Parameter:
    return Parameter(name, Parameter.KEYWORD_ONLY, annotation=Annotated[kind, told], default=first)


def _word(ask: Sought) -> str:
    return f"--{(ask.option or ask.name).replace('_', '-')}"


def _option(ask: Sought) -> Parameter:
    """What a question asks for as an option; several where it may be given several times."""
    if isinstance(ask, Switch):
        return _parameter(ask.name, bool, typer.Option(_word(ask), help=ask.words), first=False)
    if isinstance(ask, Whole):
        return _parameter(ask.name, int | None, typer.Option(_word(ask), help=_help(ask)), None)
    if isinstance(ask, Content) and not (ask.many or ask.option):
        return _parameter(ask.name, Path | None, typer.Argument(help=ask.words), None)
    many = not isinstance(ask, Choice) and ask.many
    return _parameter(ask.name, (list[str] if many else str) | None, typer.Option(_word(ask), help=_help(ask)), None)


def _help(ask: Sought) -> str:
    """What it is, the words to choose from, and what is taken where nothing is given."""
    first = ""
    if isinstance(ask, Number):
        first = ", ".join(show(value, ask.kind) for value in ask.first)
    elif isinstance(ask, Choice | Written):
        first = ask.first
    elif isinstance(ask, Whole) and ask.first is not None:
        first = str(ask.first)
    words = f"{ask.words}: {', '.join(filter(None, ask.of))}" if isinstance(ask, Choice) else ask.words
    words = (
        f"{words}; may be given several times" if not isinstance(ask, Choice | Whole | Switch) and ask.many else words
    )
    return f"{words}; {first} when left out" if first else words


def _read(ask: Sought, typed: Any, units: str) -> object:
    """What was typed behind an option, read; None where nothing was."""
    if not typed and typed != 0:
        return None
    if isinstance(ask, Number):
        return tuple(_number(ask, text, units) for text in (typed if ask.many else [typed]))
    if isinstance(ask, Choice | Whole):
        return ask.checked(typed, _word(ask))
    if isinstance(ask, Content):
        return tuple((str(path), read_text(Path(path))) for path in (typed if ask.many else [typed]))
    return tuple(typed) if isinstance(ask, Written) and ask.many else typed


def _number(ask: Number, text: str, units: str) -> float | Measured:
    """A number of an option, with its ± where it may have one; bare numbers are in the unit set."""
    option = _word(ask)
    if not ask.banded or not any(sign in text for sign in ("±", "+-", "+/-")):
        value = ask.checked(asked(text, ask.kind, option, units), option, units)
        return Measured(value) if ask.banded else value
    symbol = unit_of(ask.kind, units).symbol
    bare = not any(letter.isalpha() or letter == '"' for letter in text) and symbol != "-"
    with at(option):
        return read_measured(f"{text} {symbol}" if bare else text, ask.kind)
