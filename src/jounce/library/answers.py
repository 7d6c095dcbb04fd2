"""The product's questions, asked of a case: their answers as tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.case.case import Case
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, read, si_unit, to_display, unit_of
from jounce.job.answer_table import Answer, AnswerTable
from jounce.library.html import number, table
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Asked, Choice, Content, Number, Sought, Switch, Whole

__all__ = ["Answers", "ask"]


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
    shown = None if value is None else float(to_display(value, row.kind, units))
    return number(shown, unit_of(row.kind, units).decimals)


def ask(case: Case, question: str, given: Mapping[str, float | str | Sequence[float] | Sequence[str]]) -> Answers:
    """Put a question of the catalogue to a case.

    Args:
        case: the car, or the car and the job
        question: its word
        given: what it asks for, in SI or as texts with a unit

    Raises:
        InputError: no such question, or what is given is not what it asks for
        Impossible: the car cannot stand so
    """
    asked = QUESTIONS.get(question)
    if asked is None:
        raise InputError("There is no such question", found=repr(question), allowed=", ".join(QUESTIONS))
    asks = {name: one for one in asked.asks for name in (one.option.replace("-", "_"), one.name) if name}
    unknown = [name for name in given if name not in asks]
    if unknown:
        allowed = ", ".join(asks) or "nothing"
        raise InputError(f"The question {question!r} does not ask for this", found=", ".join(unknown), allowed=allowed)
    taken = {asks[name].name: _taken(asks[name], value) for name, value in given.items()}
    return Answers(tuple(asked.answer(Asked(asked.filled(taken), "metric", case))))


def _taken(one: Sought, value: float | str | Sequence[float] | Sequence[str]) -> object:
    """What was given for one thing that a question asks for; numbers in SI."""
    with at(one.name):
        if isinstance(one, Choice):
            return one.checked(str(value), one.words.capitalize())
        if isinstance(one, Switch):
            return bool(value)
        each = [value] if isinstance(value, str) else np.atleast_1d(np.asarray(value)).tolist()
        many = not isinstance(one, Whole) and one.many
        if not each or (len(each) > 1 and not many):
            raise InputError(one.words.capitalize(), found=repr(value), allowed="several" if many else "one")
        if isinstance(one, Whole):
            return one.checked(int(each[0]), one.words.capitalize())
        if isinstance(one, Content):
            return tuple((one.name, str(text)) for text in each)
        if not isinstance(one, Number):
            return tuple(map(str, each)) if many else str(each[0])
        return tuple(
            one.checked(read(item, one.kind, _si(one.kind)), one.words.capitalize(), "metric") for item in each
        )


def _si(kind: Kind) -> str:
    unit = si_unit(kind)
    return "" if unit == "1" else unit
