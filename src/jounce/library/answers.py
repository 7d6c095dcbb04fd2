"""The product's questions, asked of a case or of a part: their answers as tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import Any

import numpy as np

from jounce.car.file.quantity import Measured
from jounce.car.file.reading import read_text
from jounce.case.case import Case
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, read, unit_of
from jounce.job.answer_table import Answer, AnswerTable
from jounce.library.html import table
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked, Choice, Content, Sought, Switch, Whole, Written
from jounce.questions.titles import OF_PARTS

__all__ = ["Answers", "answered", "ask"]


@dataclass(frozen=True, repr=False)
class Answers:
    """The tables of an answer.

    A table has its ``question``, the ``columns`` compared, its ``rows`` and ``remarks``; a row its ``name``, ``kind``,
    ``values`` (SI; a text where words tell it, None where it is not known) and ``bands``.
    """

    tables: tuple[AnswerTable, ...]

    def __repr__(self) -> str:
        return f"<{', '.join(one.question for one in self.tables)}>"

    def __getitem__(self, name: str) -> Answer:
        """The first row of a name, of whatever table.

        Raises:
            InputError: no row has that name
        """
        for one in self.tables:
            for row in one.rows:
                if row.name == name:
                    return row
        names = dict.fromkeys(row.name for one in self.tables for row in one.rows)
        raise InputError("There is no such row", found=repr(name), allowed=", ".join(names))

    def _repr_html_(self) -> str:
        return self.html()

    def html(self, units: str = "metric") -> str:
        """All tables.

        Args:
            units: metric, inch or kgf
        """
        return "".join(
            table(
                one.question,
                ("", *one.columns),
                [[_label(row, units), *(_cell(row, value, units) for value in row.values)] for row in one.rows],
                " ".join(one.remarks),
            )
            for one in self.tables
        )


def _label(row: Answer, units: str) -> str:
    symbol = unit_of(row.kind, units).symbol
    return row.name + ("" if symbol == "-" else f" [{symbol}]")


def _cell(row: Answer, value: float | str | None, units: str) -> str:
    if isinstance(value, str):
        return value
    return "" if value is None else row.number(value, units)


def ask(question: str, /, **given: Any) -> Answers:
    """Put one of the product's questions of a part: "bar", "coil", "damper", "anti-roll-bar".

    Args:
        question: its word, as on the command line
        given: what it asks for: numbers in SI, texts with a unit, words, paths of files

    Raises:
        InputError: no such question, or what is given is not what it asks for
        Impossible: there is no such part

    >>> round(ask("bar", diameter="22.5 mm", length=0.95)["torsional rate"].values[0])  # [N m/rad]
    2079
    """
    return answered(None, question, given)


def answered(case: Case | None, question: str, given: Mapping[str, Any]) -> Answers:
    """Put a question of the catalogue.

    Args:
        case: the car, or the car and the job; None where it is asked of a part
        question: its word
        given: what it asks for, by its own or the option's name: numbers in SI, texts as on the command line, files' paths

    Raises:
        InputError: no such question, or what is given is not what it asks for
        Impossible: the car cannot stand so
    """
    words = [word for word in QUESTIONS if case is not None or word in OF_PARTS]
    if question not in words:
        raise InputError("There is no such question", found=repr(question), allowed=", ".join(words))
    asked = QUESTIONS[question]
    asks = {name: one for one in asked.asks for name in (one.option.replace("-", "_"), one.name) if name}
    unknown = [name for name in given if name not in asks]
    if unknown:
        allowed = ", ".join(asks) or "nothing"
        raise InputError(f"The question {question!r} does not ask for this", found=", ".join(unknown), allowed=allowed)
    taken = asked.filled({asks[name].name: _taken(asks[name], value) for name, value in given.items()})
    return Answers(tuple(asked.answer(Asked(taken, "metric", None if asked.of_part else case))))


def _taken(one: Sought, value: Any) -> object:
    """What was given for one thing that a question asks for, as the question takes it."""
    if isinstance(one, Switch):
        return bool(value)
    if isinstance(one, Choice):
        return one.checked(str(value), one.name)
    each: list[Any] = [value] if isinstance(value, (str, PathLike)) else np.atleast_1d(np.asarray(value)).tolist()
    if not each or (len(each) > 1 and (isinstance(one, Whole) or not one.many)):
        raise InputError(
            f"{one.name} takes {'one value' if each else 'a value'}", found=repr(value), todo=f"It is: {one.words}."
        )
    if isinstance(one, Content):
        return tuple((str(path), read_text(Path(path))) for path in each)
    if isinstance(one, Written):
        return tuple(map(str, each)) if one.many else str(value)
    kind = Kind.RATIO if isinstance(one, Whole) else one.kind
    with at(one.name):  # a number is in SI, a text as on the command line
        numbers = [read(item, kind) if isinstance(item, str) else float(item) for item in each]
    if isinstance(one, Whole):
        return one.checked(int(numbers[0]), one.name)
    checked = [one.checked(number, one.name, "metric") for number in numbers]
    return tuple(Measured(number) if one.banded else number for number in checked)
