"""Which teeth of a torsion bar give a height, and where the arm hangs before it is loaded."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, replace

from jounce.car.file.document import CarDocument
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.case.case import Case
from jounce.conventions.axes import End
from jounce.conventions.errors import InputError
from jounce.conventions.units import MM, Kind
from jounce.elements.bars.materials import NO_LIFE
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.index.plan import BarIndex, IndexTask, bar_indices
from jounce.job.index.task import indexed_axle, task_of_car, task_of_plan
from jounce.job.index.words import INDEX_REMARKS, index_sentences, which_way
from jounce.job.plan import make_plan
from jounce.layouts.naming import SIDES, SideName
from jounce.questions.question import Asked, Choice, Number, Question

__all__ = ["QUESTION"]


def _found(asked: Asked) -> tuple[IndexTask, Mapping[SideName, BarIndex]]:
    lower, height = asked.optional("lower"), asked.optional("height")
    if lower is not None and height is not None:
        raise InputError("A height is asked for twice", found="lower and height", todo="Give one of them.")
    task = _task(asked.case, asked.word("axle"), lower, height)
    found = bar_indices(task, abs(asked.one("within")))
    return task, {name: one for name, one in found.items() if asked.word("side") in ("", name)}


def _task(case: Case, axle: str, lower: float | None, height: float | None) -> IndexTask:
    """The axle with where it is to stand: a job's height is the one it asks for, a car's is as found."""
    if case.job is None:
        name = indexed_axle(case.car, axle)
        return task_of_car(case.car, name, _lower(case.car, name, lower, height) or dict.fromkeys(SIDES, 0.0))
    planned, wishes, plan = case.planned.document, case.wishes, case.plan
    name = indexed_axle(planned, axle)
    own = _lower(case.car, name, lower, height)
    if own is not None:
        wishes = replace(wishes, lower={**wishes.lower, **{(name, one): own[one] for one in SIDES}})
        plan = make_plan(case.car, planned, wishes)
    return task_of_plan(case.car, case.change_list, plan, wishes.lower, name)


def _lower(document: CarDocument, axle: str, lower: float | None, height: float | None) -> dict[SideName, float] | None:
    """How much lower each side is wanted than as found [m]; None where nothing was asked."""
    if lower is not None:
        return dict.fromkeys(SIDES, lower)
    if height is None:
        return None
    return {side: document.heights.corner(End(axle), SIDE_OF[side]).value - height for side in SIDES}


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    task, found = _found(asked)
    tables = [table for side, one in found.items() for table in _tables(f"{task.axle} {side}", one, asked.units)]
    general = (*INDEX_REMARKS, f"Load cycles that a bar lasts: {NO_LIFE}.")
    title = f"{task.document.car.name}, {task.axle} torsion bars"
    return [AnswerTable(title, (), (), ("Teeth are counted from the old marks.",)), *tables, _remarks(general)]


def _remarks(said: Sequence[str]) -> AnswerTable:
    return AnswerTable("Before anything is undone", (), (), tuple(said))


def _tables(place: str, one: BarIndex, units: str) -> Iterator[AnswerTable]:
    """The pairs of teeth near the wanted height, and the bar along its travel."""
    heads = tuple(f"{'* ' if row.chosen else ''}{row.arm_teeth:+d}/{row.anchor_teeth:+d}" for row in one.rows)
    said = (which_way(one), *index_sentences(one, units))
    pairs: tuple[Answer, ...] = ()
    if one.rows:
        pairs = tuple(_pairs(one))
        point = one.hanging_point or "arm"
        said += (
            f"Pairs of teeth, arm/anchor; * chosen. Hanging: {point} over the arm's pivot line, bar without load.",
            "Bump, droop: stress and wind-up of the bar there (below 0: slack, or turned backwards).",
        )
    yield AnswerTable(place, heads, pairs, said, along=True)
    places = tuple(place.name.partition(":")[0] for place in one.places)
    ends = [place.name for place in one.places if ":" in place.name]
    yield AnswerTable(
        f"{place}: the bar along its travel",
        places,
        tuple(
            Answer(name, kind, tuple(getattr(place, key) for place in one.places))
            for name, kind, key in (
                ("lower", Kind.LENGTH, "lower"),
                ("twist", Kind.ANGLE, "twist"),
                ("bar's own", Kind.ANGLE, "bar_twist"),
                ("torque", Kind.TORQUE, "torque"),
                ("stress", Kind.STRESS, "stress"),
                ("margin", Kind.STRESS, "margin"),
                ("energy", Kind.ENERGY, "energy"),
            )
        ),
        (f"{'; '.join(ends)}.",) if ends else (),
        along=True,
    )


def _pairs(one: BarIndex) -> Iterator[Answer]:
    bolted = any(row.bolt_heights for row in one.rows)
    if bolted:
        yield Answer("bolt", Kind.RATIO, tuple(f"{row.bolt_turns:+.2f}" for row in one.rows))
    for name, kind, key in (
        ("height", Kind.LENGTH, "height"),
        ("miss", Kind.LENGTH, "miss"),
        ("hanging", Kind.LENGTH, "hanging"),
        ("bump", Kind.STRESS, "stress"),
        ("droop", Kind.ANGLE, "droop_twist"),
    ):
        yield Answer(name, kind, tuple(getattr(row, key) for row in one.rows))
    if bolted:
        for k, name in enumerate(("bolt from", "bolt to")):
            yield Answer(name, Kind.LENGTH, tuple((row.bolt_heights or (None, None))[k] for row in one.rows))


def _values(asked: Asked) -> object:
    task, found = _found(asked)
    return {"unit_system": "SI", "axle": task.axle, "sides": {name: asdict(one) for name, one in found.items()}}


QUESTION = Question(
    about="Re-index torsion bars: every pair of teeth near the wanted height, and what to set before loading. A job's "
    "height is the one it asks for, a car's is as found, unless another is given.",
    asks=(
        Choice("axle", "which axle", "", {"": "the one with torsion bars", "front": "front", "rear": "rear"}),
        Number("lower", Kind.LENGTH, "how much lower than as found both sides are to stand"),
        Number("height", Kind.LENGTH, "wheel centre to arch for both sides"),
        Choice("side", "which side", "", {"": "both", "left": "left", "right": "right"}),
        Number("within", Kind.LENGTH, "heights listed, up and down from the wanted one", (15 * MM,)),
    ),
    answer=_answer,
    values=_values,
)
