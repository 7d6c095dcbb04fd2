"""A remark of an answer: a sentence, and what kind of thing it says, so that nobody has to tell that from its words."""

from __future__ import annotations

from enum import StrEnum
from typing import Self

__all__ = ["AnswerRemark", "AnswerRemarkKind", "kind_of"]


class AnswerRemarkKind(StrEnum):
    """What a remark says."""

    PLAIN = "plain"
    CHOSEN = "chosen"
    """What was chosen among many: the answer itself."""
    REFUSED = "refused"
    """That it must not be set like this."""
    CANNOT = "cannot"
    """That what was wished is not to be had."""
    STEP = "step"
    """What one step of an adjuster is."""
    STEP_ABOARD = "step aboard"
    """The same of what is put aboard."""
    IN_RUBBER = "in rubber"
    """That a wheel stands in its bump rubber, with travel left."""
    ENDS = "ends"
    """Where a wheel's travel ends."""
    NOTHING_MOVES = "nothing moves"
    """That nothing else moves."""


class AnswerRemark(str):
    """A remark of a table, as text, with its kind.

    Attributes:
        kind: what it says
        of: of what, in a word: the axle, or the step; empty where it is of the whole answer

    """

    __slots__ = ("kind", "of")

    kind: AnswerRemarkKind
    of: str

    def __new__(cls, text: str, kind: AnswerRemarkKind = AnswerRemarkKind.PLAIN, of: str = "") -> Self:
        """Build a remark.

        >>> AnswerRemark("Nothing else moves.", AnswerRemarkKind.NOTHING_MOVES).kind.value
        'nothing moves'
        """
        made = super().__new__(cls, text)
        made.kind, made.of = kind, of
        return made


def kind_of(text: str) -> AnswerRemarkKind:
    """What a remark says; plain where nobody told.

    Args:
        text: a remark of a table, with a kind or without
    """
    return text.kind if isinstance(text, AnswerRemark) else AnswerRemarkKind.PLAIN
