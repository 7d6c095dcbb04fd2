"""What a sheet is made of: a few kinds of blocks, each plain text and numbers, set in one house style."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

Cell = str | None
"""A text, or None for an empty box that is filled in by pen."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A line above what belongs together."""

    text: str


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph; ``small`` for one that is long and read once."""

    text: str
    small: bool = False


@dataclass(frozen=True, slots=True)
class TableBlock:
    """Rows under a head, numbers to the right; ``words`` says how many columns from the left hold words.

    ``total`` of the last rows are set off by a line.
    """

    head: Sequence[str]
    rows: Sequence[Sequence[Cell]]
    words: int = 1
    total: int = 0


@dataclass(frozen=True, slots=True)
class Fields:
    """Labels side by side, each with its text below, or with an empty box."""

    labels: Sequence[str]
    texts: Sequence[Cell]


@dataclass(frozen=True, slots=True)
class Points:
    """Short sentences; with a box to tick before each where ``tick`` is set, with numbers where ``numbered`` is."""

    lines: Sequence[str]
    tick: bool = False
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class Figures:
    """Vector pictures side by side, with a sentence below."""

    pictures: Sequence[str]
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Cautions:
    """Warnings in a frame."""

    lines: Sequence[str]


@dataclass(frozen=True, slots=True)
class StopBlock:
    """What fails, at the head of a sheet in a heavy frame; ``despite`` is why it is printed all the same."""

    title: str
    lines: Sequence[str]
    despite: str = ""


@dataclass(frozen=True, slots=True)
class Signatures:
    """Lines to sign on."""

    labels: Sequence[str] = ("done by", "checked by", "date")


Block = Heading | Words | TableBlock | Fields | Points | Figures | Cautions | StopBlock | Signatures


def as_data(blocks: Sequence[Block]) -> list[dict[str, Any]]:
    """Blocks as plain data for the typesetter; each tells its kind.

    Args:
        blocks: in the order of the page
    """
    return [{"kind": type(block).__name__, **asdict(block)} for block in blocks]
