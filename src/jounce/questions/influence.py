"""What moves a result of an axle where its car stands: each input with what one small step of it changes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jounce.behaviour.axle.everything import quantity_of
from jounce.behaviour.influence import influences
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import suggestion
from jounce.car.file.walk import path_words
from jounce.car.mechanics.layout_input import spring_kind
from jounce.case.case import FOUND, CaseState
from jounce.conventions.axes import End
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind
from jounce.job.answer_table import Answer, AnswerTable
from jounce.questions.of_axle import AXLE, axle_of, titled
from jounce.questions.question import ALL_STATES, Asked, Question, Whole, Written

__all__ = ["QUESTION", "kind_of"]

_DIGITS = 4
_STEPS = {Kind.LENGTH: "1 mm", Kind.ANGLE: "0.1 deg"}
_HOW = (
    "Exact derivatives times the step. The axle stays where it stands, as its rods and plates are set, and its springs "
    "carry what they carry there."
)


def kind_of(name: str, document: CarDocument) -> Kind:
    """What a result measures: a column of `travel`, or a figure of the standing axle.

    Args:
        name: ``axle.side.quantity`` or ``axle.quantity``
        document: its car
    """
    axle, *_, result = name.split(".")
    if result not in ("spring_force", "wound_up"):
        return quantity_of(result).kind
    bar = spring_kind(document.axle(End(axle))) == "torsion bar"
    of_bar, of_coil = (Kind.TORQUE, Kind.FORCE) if result == "spring_force" else (Kind.ANGLE, Kind.LENGTH)
    return of_bar if bar else of_coil


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    return [table for one in asked.states for table in _tables(asked, one)]


def _tables(asked: Asked, one: CaseState) -> Iterator[AnswerTable]:
    axle, result = axle_of(asked, one).name, "_".join(asked.word("result").split())
    found = influences(one.varies, axle, one.of_axles)
    known = {name.removeprefix(f"{axle}.").replace(".", "_"): name for name in found.derivatives}
    if result not in known:
        words = [name.replace("_", " ") for name in known]
        raise InputError("This axle has no such result", found=result, todo=suggestion(result.replace("_", " "), words))
    name = known[result]
    kind, changes = kind_of(name, one.document), found.strongest(name)[: asked.count("top")]
    yield AnswerTable(
        titled(asked, one), ("now",), (Answer(result.replace("_", " "), kind, (found.values[name],), digits=_DIGITS),)
    )
    rows = tuple(
        Answer(path_words(ref.path), kind, (_STEPS.get(ref.kind, "1 %"), change), digits=_DIGITS, key=ref.path)
        for ref, change in changes
    )
    remarks = [_HOW] if rows else ["Nothing: no number of the file reaches it."]
    if one.title != FOUND:
        remarks.append("What is called new stands in the job's file, all else in the car's.")
    yield AnswerTable("What one step up of each input changes", ("step", "change"), rows, tuple(remarks))


QUESTION = Question(
    about="What moves a result of an axle where its car stands: every number of the file that reaches it, the strongest "
    "first, with what one small step of it changes. A step is 1 mm of a length, 0.1 degree of an angle, 1 % of anything "
    "else.",
    asks=(
        ALL_STATES,
        AXLE,
        Written("result", 'what is moved: "left bump steer", "roll centre height"', first="left wheel rate"),
        Whole("top", "how many inputs to list", 12, 1),
    ),
    answer=_answer,
)
