"""What an axle on its bushes gives under forces at its wheels."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from jounce.behaviour.axle.compliance import Compliance, On, compliance
from jounce.behaviour.axle.compliant import bushed_axle
from jounce.car.mechanics.bushes import JointedAxle, jointed_axle
from jounce.case.case import FOUND, CaseState
from jounce.conventions.compliance_quantities import COMPLIANCE_QUANTITIES, FORCES, Force, kind_under
from jounce.conventions.quantity import Quantity
from jounce.conventions.units import Kind, to_display, unit_of
from jounce.job.answer_table import Answer, AnswerTable
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array
from jounce.questions.of_axle import AT, AXLE, axle_of, put_at, state_lines, titled
from jounce.questions.question import ALL_STATES, Asked, Lines, Question, Switch

__all__ = ["QUESTION"]

_SHOWN: tuple[On, ...] = ("both", "opposed")
_COLUMNS = tuple(f"{on}: {side}" for on in _SHOWN for side in SIDES)
_TIGHTENED = {
    True: "The bushes are tightened where the car was measured: there each carries its load and is not twisted.",
    False: "The bushes are taken as loosened and tightened again where this car stands: there each carries its load and is "
    "not twisted. Bushes left as they were are twisted there, and stiffer if they are progressive.",
}


@dataclass(frozen=True, slots=True)
class _Given:
    """What an axle of one car gives on its bushes, and its rates with ideal joints, shape (1, 2) [N/m]."""

    jointed: JointedAxle
    found: Compliance
    ideal_rate: Array


def _given(asked: Asked, one: CaseState) -> _Given:
    model = axle_of(asked, one)
    stands, states = one.places[model.name], put_at(asked, one, model)
    jointed = jointed_axle(one.document, model.name, rigid=asked.so("rigid"))
    ideal = jointed_axle(one.document, model.name, rigid=True)
    found = compliance(bushed_axle(model, jointed, stands), states, "free" if asked.so("free") else "held")
    return _Given(jointed, found, compliance(bushed_axle(model, ideal, stands), states).wheel_rate)


def _rows(found: Compliance, force: Force) -> Iterator[tuple[Quantity, Kind, Sequence[str]]]:
    """Quantities that this axle has under a force, with their kind and columns."""
    for quantity in COMPLIANCE_QUANTITIES.values():
        columns = [quantity.name] if quantity.per == "axle" else [f"{side}_{quantity.name}" for side in SIDES]
        kind = kind_under(quantity, force)
        if kind is not None and columns[0] in found.columns:
            yield quantity, kind, columns


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    return [table for one in asked.states for table in _tables(asked, one)]


def _tables(asked: Asked, one: CaseState) -> Iterator[AnswerTable]:
    given = _given(asked, one)
    rates = (("on the bushes", given.found.wheel_rate), ("with ideal joints", given.ideal_rate))
    rows = tuple(Answer(f"wheel rate {how}", Kind.SPRING_RATE, tuple(float(r) for r in rate[0])) for how, rate in rates)
    yield AnswerTable(titled(asked, one), SIDES, rows, tuple(_remarks(asked, one, given.jointed)))
    for name, force in FORCES.items():
        values = {on: given.found.of(name, on) for on in _SHOWN}
        told = tuple(
            Answer(
                quantity.label,
                kind,
                tuple(_cell(values[on], column) for on in _SHOWN for column in (*columns, "")[:2]),
            )
            for quantity, kind, columns in _rows(given.found, force)
        )
        yield AnswerTable(f"{force.title}, {force.sense}", _COLUMNS, told)


def _cell(values: Mapping[str, Array], column: str) -> float | str:
    """One change; a quantity of the whole axle stands in the left column alone."""
    return float(values[column][0]) if column else ""


def _remarks(asked: Asked, one: CaseState, jointed: JointedAxle) -> Iterator[str]:
    names = dict.fromkeys(site.name.replace("_", " ") for site in jointed.linkage.sites.values() if site.gives)
    if names:
        yield f"Bushes: {', '.join(names)}; every other joint is ideal."
        yield _TIGHTENED[one.title == FOUND]
    else:
        rigid = asked.so("rigid")
        taken = "Taken" if rigid else "The file gives no bushes for this axle: taken"
        kind = AnswerRemarkKind.PLAIN if rigid else AnswerRemarkKind.CANNOT
        yield AnswerRemark(f"{taken} with ideal joints, nothing gives.", kind)
    wheels = "free under constant loads" if asked.so("free") else "held at their height"
    yield f"Body and steering gear held, wheels {wheels}. A quantity of the whole axle stands in the left column."


def _lines(asked: Asked, one: CaseState) -> Lines:
    """One row for each change under each force, each wheel alone among them."""
    found = _given(asked, one).found
    yield ["force", "on", "column", "value", "unit"]
    for name, on in found.cases:
        values = found.of(name, on)
        for _, kind, columns in _rows(found, FORCES[name]):
            for column in columns:
                shown = to_display(float(values[column][0]), kind, asked.units) + 0.0
                yield [name, on, column, f"{shown:.9g}", unit_of(kind, asked.units).symbol]


QUESTION = Question(
    about="What an axle on its bushes gives under side, braking and driving forces and aligning torque, and its wheel "
    "rate. Changes are small ones, per unit of force on each wheel; both: on both wheels the same way; opposed: on the "
    "right wheel the other way.",
    asks=(
        ALL_STATES,
        AXLE,
        AT,
        Switch("rigid", "take every joint as ideal in spite of its bush"),
        Switch("free", "let the wheels go up and down under constant loads; else their height is held"),
    ),
    answer=_answer,
    lines=lambda asked: state_lines(asked, lambda one: _lines(asked, one)),
)
