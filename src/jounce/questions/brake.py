"""What braking and driving do, straight ahead."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import Kind
from jounce.job.answer_table import AnswerTable
from jounce.job.on_road import braked
from jounce.questions.braking import braking_tables
from jounce.questions.question import Asked, Number, Question

__all__ = ["QUESTION"]


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    ahead = np.array(asked.numbers("ahead"), dtype=np.float64)
    return braking_tables(asked.case.name, {one.title: braked(one.state, ahead) for one in asked.case.states})


QUESTION = Question(
    about="Pitch, loads, how far nose and tail move, and how much grip brakes and drive use, straight ahead.",
    asks=(
        Number(
            "ahead",
            Kind.ACCELERATION,
            "accelerations, negative in braking",
            (-0.3 * GRAVITY, -0.6 * GRAVITY, -0.8 * GRAVITY, 0.3 * GRAVITY),
            -1.5 * GRAVITY,
            1.5 * GRAVITY,
            many=True,
            option="at",
        ),
    ),
    answer=_answer,
)
