"""The car on four scales, with what is aboard, and settings for wanted heights and cross weight."""

from __future__ import annotations

from collections.abc import Sequence

from jounce.behaviour.road.of_document import aboard
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.weigh import OnScales, on_scales, settings_for
from jounce.case.case import CaseState
from jounce.conventions.units import Kind, read, unit_of
from jounce.job.answer_table import AnswerTable
from jounce.questions.past_the_end import past_the_end
from jounce.questions.question import ALL_STATES, Asked, Number, Question, Switch, Written
from jounce.questions.weighing import WantedWeights, pressed_remarks, settings_table, uneven_table, weighing_table

__all__ = ["QUESTION"]


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    return [table for one in asked.states for table in _tables(asked, one)]


def _tables(asked: Asked, one: CaseState) -> list[AnswerTable]:
    car = one.car.with_loads(aboard(one.document, _masses(asked)))
    if asked.so("bars_off"):
        car = car.without({"anti-roll bar", "inner bar"})
    name, stands = asked.case.name, on_scales(car)
    tables = [
        weighing_table(one.document, f"{name}, {one.title}, on the scales", stands, _ends(asked, car, stands)),
        uneven_table(car, one.title if len(asked.states) > 1 else ""),
    ]
    wanted = _wanted(asked, stands)
    if wanted is not None:
        found = settings_for(car, wanted.front, wanted.rear, wanted.cross_share, wanted.lean)
        ends = _ends(asked, car, found.stands)
        tables += [
            settings_table(one.document, car, found),
            weighing_table(one.document, f"{name}, as set, on the scales", found.stands, ends),
        ]
    return tables


def _ends(asked: Asked, car: RoadCar, stands: OnScales) -> list[str]:
    return [*past_the_end(car, stands.travel[None]), *pressed_remarks(car, stands, asked.units)]


def _wanted(asked: Asked, stands: OnScales) -> WantedWeights | None:
    """What is asked for; where nothing is said of a thing it stays as it is."""
    front, rear, cross = (asked.optional(name) for name in ("front", "rear", "cross"))
    if front is None and rear is None and cross is None:
        return None
    travel = stands.travel.mean(axis=1)
    return WantedWeights(
        float(travel[0]) if front is None else front,
        float(travel[1]) if rear is None else rear,
        stands.cross_share if cross is None else cross,
        float((stands.travel[:, 0] - stands.travel[:, 1]).mean()),
    )


def _masses(asked: Asked) -> dict[str, float | None]:
    masses: dict[str, float | None] = {}
    for text in asked.texts("aboard"):
        name, equals, value = (part.strip() for part in text.partition("="))
        masses[name] = read(value, Kind.MASS, unit_of(Kind.MASS, asked.units).symbol) if equals else None
    return masses


QUESTION = Question(
    about="Corner weights and heights, what an uneven floor would do to them, and which spring settings give wanted ones "
    "- or why nothing can.",
    asks=(
        ALL_STATES,
        Written("aboard", 'a place of the car file: "passenger", "boot=40 kg"', many=True),
        Switch("bars_off", "anti-roll bars disconnected"),
        Number("cross", Kind.SHARE, "cross weight wanted"),
        Number("front", Kind.LENGTH, "how much lower the front is to stand"),
        Number("rear", Kind.LENGTH, "how much lower the rear is to stand"),
    ),
    answer=_answer,
)
