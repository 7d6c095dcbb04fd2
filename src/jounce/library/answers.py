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
from jounce.questions.question import Choice, Number

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


def ask(case: Case, question: str, given: Mapping[str, float | str | Sequence[float]]) -> Answers:
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
    asks = {one.name: one for one in asked.asks}
    unknown = [name for name in given if name not in asks]
    if unknown:
        allowed = ", ".join(asks) or "nothing"
        raise InputError(f"The question {question!r} does not ask for this", found=", ".join(unknown), allowed=allowed)
    taken = {name: _taken(asks[name], value) for name, value in given.items()}
    return Answers(tuple(asked.answer(case, {**asked.as_first(), **taken}, "metric")))


def _taken(one: Number | Choice, value: float | str | Sequence[float]) -> tuple[float, ...] | str:
    """What was given for one thing that a question asks for, SI."""
    with at(one.name):
        if isinstance(one, Choice):
            if value not in one.of:
                raise InputError("There is no such choice", found=repr(value), allowed=", ".join(one.of))
            return str(value)
        each = [value] if isinstance(value, str) else np.atleast_1d(np.asarray(value)).tolist()
        numbers = tuple(read(item, one.kind, _si(one.kind)) for item in each)
        if not numbers or (len(numbers) > 1 and not one.many) or not all(one.least <= n <= one.most for n in numbers):
            raise InputError(
                one.words.capitalize(),
                found=repr(value),
                allowed=f"{'numbers' if one.many else 'one number'} from {one.least:g} to {one.most:g} {si_unit(one.kind)}",
            )
    return numbers


def _si(kind: Kind) -> str:
    unit = si_unit(kind)
    return "" if unit == "1" else unit
