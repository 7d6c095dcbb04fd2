"""A question as data: what it asks for, and how a case or a part answers it. Every door is made from it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, cast

from jounce.car.file.quantity import Measured
from jounce.case.case import Case, CaseState
from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import Kind, show, unit_of
from jounce.job.answer_table import AnswerTable

__all__ = [
    "ALL_STATES",
    "Asked",
    "Choice",
    "Content",
    "Given",
    "Lines",
    "Number",
    "Question",
    "Sought",
    "Switch",
    "Whole",
    "Written",
    "table_lines",
]


@dataclass(frozen=True, slots=True)
class Number:
    """A number that a question asks for.

    ``first`` is what is taken where nothing is given [SI]: several where ``many``, nothing where it need not be given.
    ``least`` and ``most`` bound it. ``option`` is its word on the command line where that is another. Where it is not
    given, but the number that it ``follows`` is, that one is taken. A ``banded`` one may carry its ±.
    """

    name: str
    kind: Kind
    words: str
    first: tuple[float, ...] = ()
    least: float | None = None
    most: float | None = None
    many: bool = False
    option: str = ""
    follows: str = ""
    banded: bool = False

    def checked(self, value: float, place: str, units: str) -> float:
        """The value, if it is in range.

        Args:
            value: what was given [SI]
            place: what it is called where it was given
            units: unit set that the message speaks

        Raises:
            InputError: it is not
        """
        low, high = (
            -float("inf") if self.least is None else self.least,
            float("inf") if self.most is None else self.most,
        )
        if not low <= value <= high:
            below, above = (show(edge, self.kind, units) for edge in (low, high))
            allowed = f"{below} to {above}" if self.most is not None else f"{below} and more"
            raise InputError(
                f"{place} is out of range", found=show(value, self.kind, units), allowed=allowed, todo="Correct it."
            )
        return value


@dataclass(frozen=True, slots=True)
class Whole:
    """A count that a question asks for; ``first`` is taken where none is given, None where it need not be."""

    name: str
    words: str
    first: int | None = None
    least: int = 0
    most: int = 1_000_000
    option: str = ""

    def checked(self, value: int, place: str) -> int:
        """The count, if it is in range.

        Args:
            value: what was given
            place: what it is called where it was given

        Raises:
            InputError: it is not
        """
        check_range(place, value, self.least, self.most, "", "Correct it.")
        return value


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several words that a question asks for; ``first`` is taken where none is given, "" where none need be."""

    name: str
    words: str
    first: str
    of: Mapping[str, str]
    option: str = ""

    def checked(self, word: str, place: str) -> str:
        """The word, if it is one of them.

        Args:
            word: what was given
            place: what it is called where it was given

        Raises:
            InputError: it is none of them
        """
        found = next((known for known in self.of if known.casefold() == word.casefold()), None)
        if found is not None:
            return found
        known = ", ".join(filter(None, self.of))
        raise InputError(f"{place} does not know this word", found=f'"{word}"', allowed=known, todo="Choose one.")


@dataclass(frozen=True, slots=True)
class Switch:
    """Something that is so, or is not; not, where nothing is said."""

    name: str
    words: str
    option: str = ""


@dataclass(frozen=True, slots=True)
class Written:
    """Words that the question reads itself: "heave=20"; numbers in it without a unit are in the unit set.

    ``first`` is taken where nothing is given.
    """

    name: str
    words: str
    many: bool = False
    option: str = ""
    first: str = ""


@dataclass(frozen=True, slots=True)
class Content:
    """A file that a question reads; on a page and for a program its text.

    The command takes one without an ``option`` by its place. Where a shop's book is at hand, its entries ``of_book``
    (a kind of entry) stand for what is not given. ``recorded`` is whether a phone's own sensors may write it on a page.
    """

    name: str
    words: str
    many: bool = False
    option: str = ""
    of_book: Literal["", "part"] = ""
    recorded: bool = False


Sought = Number | Whole | Choice | Switch | Written | Content
"""One thing that a question asks for."""
Given = Mapping[str, object]
"""What was given, by name: see `Asked` for what each kind of it is read as."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question as it was asked: what was given for it, the unit set of its sentences, and the case it is asked of."""

    given: Given
    units: str = "metric"
    on: Case | None = None

    @property
    def case(self) -> Case:
        """The case.

        Raises:
            ValueError: the question is asked of a part
        """
        if self.on is None:
            raise ValueError("a question of a part has no case")
        return self.on

    @property
    def states(self) -> tuple[CaseState, ...]:
        """The states that are asked for by the word ``state``: of a car alone the one that there is."""
        states = self.case.states
        if len(states) == 1 or self.word("state") == "both":
            return states
        return (states[0] if self.word("state") == "found" else states[-1],)

    def numbers(self, name: str) -> tuple[float, ...]:
        """Numbers [SI]; empty where none were given.

        Args:
            name: what they are called
        """
        return tuple(float(value) for value in self.measured(name))

    def one(self, name: str) -> float:
        """A number that there always is [SI].

        Args:
            name: what it is called
        """
        return self.numbers(name)[0]

    def optional(self, name: str) -> float | None:
        """A number [SI]; None where none was given.

        Args:
            name: what it is called
        """
        return next(iter(self.numbers(name)), None)

    def measured(self, name: str) -> tuple[float | Measured, ...]:
        """Numbers as they were given, those that may carry a ± with it.

        Args:
            name: what they are called
        """
        return cast("tuple[float | Measured, ...]", self.given.get(name, ()))

    def count(self, name: str) -> int | None:
        """A count; None where none was given.

        Args:
            name: what it is called
        """
        return cast("int | None", self.given.get(name))

    def word(self, name: str) -> str:
        """The word that was chosen, or what was written.

        Args:
            name: what it is called
        """
        return cast("str", self.given.get(name, ""))

    def texts(self, name: str) -> tuple[str, ...]:
        """All that was written.

        Args:
            name: what it is called
        """
        return cast("tuple[str, ...]", self.given.get(name, ()))

    def files(self, name: str) -> tuple[tuple[str, str], ...]:
        """Name and text of each file.

        Args:
            name: what they are called
        """
        return cast("tuple[tuple[str, str], ...]", self.given.get(name, ()))

    def so(self, name: str) -> bool:
        """Whether something is so.

        Args:
            name: what it is called
        """
        return bool(self.given.get(name, False))


ALL_STATES = Choice(
    "state",
    "which car of a job",
    "planned",
    {"planned": "as planned", "found": "as found", "both": "both beside each other"},
)
"""What a question of one state asks for: which it is of a job's car."""

Lines = Iterable[Sequence[str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question of a part, a car or a job: what it tells, what it asks for, and its answer.

    Attributes:
        about: what it tells, in sentences
        asks: what it asks for
        answer: its answer as tables
        of_part: whether it is asked of a part, without a car
        lines: rows of its table for other programs, the first its heads; of the answer's own rows where it is left out
        notes: what has to be said where only the rows are written
        values: its answer for other programs, SI; the tables where it is left out
        alone: whether it is answered by one table, which other programs are given alone

    """

    about: str
    asks: tuple[Sought, ...]
    answer: Callable[[Asked], Sequence[AnswerTable]]
    of_part: bool = False
    lines: Callable[[Asked], Lines] | None = None
    notes: Callable[[Asked], Sequence[str]] | None = None
    values: Callable[[Asked], object] | None = None
    alone: bool = False

    def as_first(self) -> dict[str, object]:
        """What is taken where nothing is given."""
        return self.filled({})

    def filled(self, given: Given) -> dict[str, object]:
        """What was given, and what is taken for the rest.

        Args:
            given: by name; what is left out was not given
        """
        found: dict[str, object] = {}
        for ask in self.asks:
            if ask.name in given:
                found[ask.name] = given[ask.name]
            elif isinstance(ask, Number):
                found[ask.name] = given.get(ask.follows, ask.first)
            elif isinstance(ask, Switch):
                found[ask.name] = False
            elif isinstance(ask, Content) or (isinstance(ask, Written) and ask.many):
                found[ask.name] = ()
            else:
                found[ask.name] = ask.first
        return found

    def told(self, asked: Asked) -> object:
        """The answer as plain data in SI, for other programs.

        Args:
            asked: what is asked
        """
        if self.values is not None:
            return self.values(asked)
        tables = [table.as_json() for table in self.answer(asked)]
        return tables[0] if self.alone else tables

    def rows(self, asked: Asked) -> Lines:
        """The answer as rows of a table for other programs, the heads first.

        Args:
            asked: what is asked
        """
        return table_lines(self.answer(asked), asked.units) if self.lines is None else self.lines(asked)


def table_lines(tables: Sequence[AnswerTable], units: str) -> Lines:
    """One row for each number or word of some tables, the heads first.

    Args:
        tables: the tables
        units: unit set of the numbers
    """
    yield ["table", "quantity", "column", "unit", "value", "plus_minus"]
    for table in tables:
        for line in table.plain:
            yield [table.question, "", "", "", line, ""]
        for row in table.rows:
            unit = unit_of(row.kind, units)
            for k, (column, value) in enumerate(zip(table.columns, row.values, strict=True)):
                number, band = (
                    (f"{x / unit.factor + 0.0:.9g}" if x else "0" if x is not None else "")
                    for x in (value if isinstance(value, float | int) else None, row.band(k) or None)
                )
                yield [table.question, row.name, column, unit.symbol, value if isinstance(value, str) else number, band]
