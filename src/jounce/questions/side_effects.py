"""What else a job moves: of each change what follows from it, by how much, and what to do about it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.questions.question import Asked, Question

__all__ = ["QUESTION"]


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    tables = [
        AnswerTable(
            cause, ("by",), tuple(Answer(one.moved.rstrip(","), one.kind, (one.value,), one.todo) for one in moved)
        )
        for cause, moved in groupby(asked.case.side_effects, lambda one: one.cause)
    ]
    return tables or [
        AnswerTable("What else moves", (), (), (AnswerRemark("Nothing else moves.", AnswerRemarkKind.NOTHING_MOVES),))
    ]


QUESTION = Question(
    about="Of each change what follows from it besides, by how much where that is known, and what to do about it.",
    asks=(),
    answer=_answer,
)
