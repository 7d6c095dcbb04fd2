"""What cornering does: roll, balance, wheel lift, loads and camber, each turn for itself."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jounce.behaviour.road.corner import corner
from jounce.behaviour.road.feel import SWEEP, feel
from jounce.behaviour.road.weigh import evenly_loaded
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import Kind, column, to_display
from jounce.job.answer_table import AnswerTable
from jounce.job.on_road import felt
from jounce.questions.cornering import cornering_table, detail_table, difference_table, sweep_columns
from jounce.questions.past_the_end import past_the_end
from jounce.questions.question import Asked, Lines, Number, Question

__all__ = ["QUESTION"]


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    across, along = asked.one("across"), asked.one("ahead")
    case = asked.case
    told = {one.title: felt(one.state)[0] for one in case.states}
    detail = {one.title: corner(one.car, np.array([across, -across]), along) for one in case.states}
    ends = []
    for one in case.states:
        turned = detail[one.title].states
        turns = [f"{one.title}, {turn} turn:" for turn in ("left", "right")]
        reached = [turn for turn, good in zip(turns, turned.reached, strict=True) if good]
        ends += past_the_end(one.car, turned.travel[turned.reached], reached)
    return [
        cornering_table(f"{case.name} in a corner", told),
        detail_table(across, along, detail, ends),
        difference_table(told, {one.title: feel(evenly_loaded(one.car))[0] for one in case.states}),
    ]


def _sweeps(asked: Asked) -> Lines:
    """One row for each lateral acceleration that the car has a rest at."""
    units = asked.units
    for i, one in enumerate(asked.case.states):
        sweep = corner(one.car, SWEEP, asked.one("ahead"))
        columns = sweep_columns(sweep)
        if i == 0:
            yield ["car", *(column(name, kind, units) for name, kind, _ in columns)]
        shown = [to_display(values, kind, units) for _, kind, values in columns]
        for k in np.flatnonzero(sweep.states.reached):
            yield [one.title, *("" if v[k] != v[k] else f"{v[k] + 0.0:.6f}" for v in shown)]


QUESTION = Question(
    about="Roll, balance, wheel lift, loads and camber in steady cornering, each turn for itself; it takes some seconds.",
    asks=(
        Number(
            "across",
            Kind.ACCELERATION,
            "lateral acceleration told in detail",
            (0.6 * GRAVITY,),
            0.1,
            2 * GRAVITY,
            option="at",
        ),
        Number("ahead", Kind.ACCELERATION, "acceleration meanwhile, negative in braking", (0.0,), -GRAVITY, GRAVITY),
    ),
    answer=_answer,
    lines=_sweeps,
)
