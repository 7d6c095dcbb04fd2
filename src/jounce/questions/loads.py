"""What every joint, rod and main spring of an axle carries in a table of load cases."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from jounce.behaviour.axle.load_cases import common_cases, forces_of, parse_cases
from jounce.behaviour.axle.load_rows import LoadRow, load_rows
from jounce.behaviour.axle.loads import axle_loads
from jounce.car.mechanics.bushes import jointed_axle
from jounce.case.case import CaseState
from jounce.conventions.errors import check_range
from jounce.conventions.units import Kind, column, to_display
from jounce.job.answer_table import Answer, AnswerTable
from jounce.questions.of_axle import AT, AXLE, axle_of, put_at, state_lines, titled
from jounce.questions.question import ALL_STATES, Asked, Content, Lines, Question, Whole

__all__ = ["QUESTION"]

_NOTHING = 1e-6  # below this a part carries rounding [N or N m]
_NOTES = (
    "Joints: size of the force. Rods: tension positive. Springs: what they carry, positive compressed or wound up.",
    "Loads of a rigid axle standing still: shocks, wear and fatigue are not in them, and they prove no strength.",
)


def _carried(asked: Asked, one: CaseState) -> tuple[tuple[str, ...], tuple[LoadRow, ...]]:
    """Names of the cases, and what each part carries in them."""
    model = axle_of(asked, one)
    given = asked.files("cases")
    cases = parse_cases(given[0][1], given[0][0]) if given else common_cases()
    forces = forces_of(cases, model, one.of_axles.carried(model))
    check_range(
        "The number of the case",
        asked.count("case") or 0,
        0,
        len(forces.names),
        "",
        "The list of cases has the numbers.",
    )
    states = put_at(asked, one, model) or one.places[model.name]
    found = axle_loads(model, jointed_axle(one.document, model.name, rigid=True).linkage, forces, states)
    return found.cases, load_rows(found, model)


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    return [table for one in asked.states for table in _tables(asked, one)]


def _tables(asked: Asked, one: CaseState) -> Iterator[AnswerTable]:
    cases, rows = _carried(asked, one)
    busy = [row for row in rows if np.abs(row.size).max() > _NOTHING]
    remarks = tuple(_remarks(busy, [row for row in rows if np.abs(row.size).max() <= _NOTHING]))
    number = asked.count("case") or 0
    if number:
        told = tuple(_one(row, number - 1) for row in busy)
        title = f"{titled(asked, one)}, case {number}: {cases[number - 1]}"
        yield AnswerTable(title, ("force on", "x", "y", "z", "size"), told, remarks)
        return
    names = tuple(f"case {n}" for n, _ in enumerate(cases, start=1))
    yield AnswerTable(titled(asked, one), (), (), tuple(f"{n}: {case}" for n, case in zip(names, cases, strict=True)))
    every = tuple(Answer(row.label, row.kind, tuple(float(size) for size in row.size)) for row in busy)
    yield AnswerTable("What each part carries", names, every, remarks)


def _one(row: LoadRow, case: int) -> Answer:
    """One part in one case, its force in the car's axes."""
    vector = ("", "", "") if row.force is None else tuple(float(f) for f in row.force[case])
    return Answer(row.label, row.kind, (row.on, *vector, float(row.size[case])))


def _remarks(rows: Sequence[LoadRow], idle: Sequence[LoadRow]) -> Iterator[str]:
    if idle:
        yield f"Nothing is carried by: {', '.join(row.label for row in idle)}."
    yield _NOTES[0]
    pulling = [row.label for row in rows if row.cannot_pull and (row.size < 0).any()]
    if pulling:
        yield f"{', '.join(pulling)} would have to pull: in that case the wheel hangs on its damper."
    yield _NOTES[1]


def _lines(asked: Asked, one: CaseState) -> Lines:
    """One row for each part in each case."""
    cases, rows = _carried(asked, one)
    forces = [column(f"force_{axis}", Kind.FORCE, asked.units) for axis in "xyz"]
    ends = [column(name, kind, asked.units) for name, kind in (("size", Kind.FORCE), ("torque", Kind.TORQUE))]
    yield ["case", "part", "kind", "on", *forces, *ends]
    for number, name in enumerate(cases):
        for row in rows:
            each = [*([] if row.force is None else row.force[number]), row.size[number]]
            *vector, size = (f"{to_display(float(value), row.kind, asked.units) + 0.0:.6f}" for value in each)
            sizes = ("", size) if row.kind is Kind.TORQUE else (size, "")
            yield [name, row.name, row.part, row.on, *(vector or ["", "", ""]), *sizes]


QUESTION = Question(
    about="What every joint, rod and main spring of an axle carries, for forces under the wheels. The joints are ideal and "
    "the axle stands still where it is put. Each main spring carries what it must there; anti-roll bars, bump stops and "
    "gas forces what their position gives. No proof of strength.",
    asks=(
        ALL_STATES,
        AXLE,
        Content("cases", "table of load cases; the one of common practice when left out", option="cases"),
        AT,
        Whole("case", "number of one case, listed with all directions"),
    ),
    answer=_answer,
    lines=lambda asked: state_lines(asked, lambda one: _lines(asked, one)),
)
