"""How the car swings, what its passengers feel, what its dampers should be."""

from __future__ import annotations

from collections.abc import Sequence

from jounce.behaviour.ride.damper_match import Wish
from jounce.behaviour.ride.obstacles import OBSTACLES
from jounce.behaviour.ride.road_surface import MEANING
from jounce.conventions.errors import InputError
from jounce.conventions.units import KM_PER_H, Kind, column, to_display
from jounce.job.answer_table import AnswerTable
from jounce.questions.question import Asked, Choice, Lines, Number, Question, table_lines
from jounce.questions.ridden import ridden
from jounce.questions.ride_tables import (
    Ridden,
    damper_tables,
    flat_table,
    history_columns,
    modes_table,
    obstacle_table,
    road_table,
)

__all__ = ["QUESTION"]


def _ridden(asked: Asked) -> list[Ridden]:
    over = OBSTACLES.get(asked.word("over"))
    road = (asked.word("road"), asked.one("speed"))
    driven = None if over is None else (over, asked.one("slow"))
    return [ridden(one.title, one.document, one.state, road, driven) for one in asked.case.states]


def _answer(asked: Asked) -> Sequence[AnswerTable]:
    told, speed = _ridden(asked), asked.one("speed")
    found = [modes_table(asked.case.name, told), flat_table(told, speed), road_table(told, asked.word("road"), speed)]
    if asked.word("over"):
        found.append(obstacle_table(told, OBSTACLES[asked.word("over")].name, asked.one("slow")))
    return [*found, *damper_tables(told, Wish(ratio=asked.one("damping")))]


def _histories(asked: Asked) -> Lines:
    """The drive over the obstacle, one row for each instant; without one the answer."""
    if not asked.word("over"):
        yield from table_lines(_answer(asked), asked.units)
        return
    cars = [(car.title, history_columns(car.history)) for car in _ridden(asked) if car.history is not None]
    if not cars:
        raise InputError("No drive can be written", found="dampers without a curve", todo="Give damper curves.")
    yield ["car", *(column(name, kind, asked.units) for name, kind, _ in cars[0][1])]
    for title, columns in cars:
        shown = [to_display(values, kind, asked.units) for _, kind, values in columns]
        for row in zip(*shown, strict=True):
            yield [title, *(f"{value + 0.0:.6g}" for value in row)]


QUESTION = Question(
    about="How body and wheels swing, flat ride, comfort on a road, a drive over an obstacle, dampers to order.",
    asks=(
        Number("speed", Kind.DRIVING_SPEED, "speed on the road", (80 * KM_PER_H,), KM_PER_H, 300 * KM_PER_H),
        Choice(
            "road",
            "class of the road by ISO 8608",
            "B",
            {name: f"{name}: {words}" for name, words in MEANING.items()},
        ),
        Choice("over", "also drive over", "", {"": "nothing", **{name: name for name in OBSTACLES}}),
        Number(
            "slow",
            Kind.DRIVING_SPEED,
            "speed over it; the one on the road where only that is given",
            (20 * KM_PER_H,),
            KM_PER_H,
            300 * KM_PER_H,
            follows="speed",
        ),
        Number("damping", Kind.RATIO, "damping ratio in heave to order dampers for", (0.35,), 0.05, 2.0),
    ),
    answer=_answer,
    lines=_histories,
)
