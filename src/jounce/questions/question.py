"""A question as data: what it asks for, and how a case answers it. Every door is made from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from jounce.case.case import Case
from jounce.conventions.units import Kind
from jounce.job.answer_table import AnswerTable

__all__ = ["Choice", "Given", "Number", "Question"]


@dataclass(frozen=True, slots=True)
class Number:
    """A number that a question asks for.

    ``first`` is what is taken where nothing is given [SI], several where ``many``; ``least`` and ``most`` bound it.
    """

    name: str
    kind: Kind
    words: str
    first: tuple[float, ...]
    least: float
    most: float
    many: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several words that a question asks for; ``first`` is taken where none is given."""

    name: str
    words: str
    first: str
    of: Mapping[str, str]


Given = Mapping[str, tuple[float, ...] | str]
"""What was asked for, by name: numbers in SI, or the word chosen."""


@dataclass(frozen=True, slots=True)
class Question:
    """One question of a car or a job: its word, title, what it tells, what it asks for, and its answer in a unit set."""

    name: str
    title: str
    about: str
    asks: tuple[Number | Choice, ...]
    answer: Callable[[Case, Given, str], Sequence[AnswerTable]]

    def as_first(self) -> dict[str, tuple[float, ...] | str]:
        """What is taken where nothing is given."""
        return {ask.name: ask.first for ask in self.asks}
