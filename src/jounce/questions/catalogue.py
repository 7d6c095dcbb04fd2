"""Every question that a case is asked through all doors, by its word."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

import numpy as np

from jounce.behaviour.ride.damper_match import Wish
from jounce.behaviour.ride.obstacles import OBSTACLES
from jounce.behaviour.ride.road_surface import MEANING, road_class
from jounce.behaviour.road.corner import corner
from jounce.behaviour.road.feel import feel
from jounce.behaviour.road.weigh import evenly_loaded, on_scales
from jounce.case.case import Case
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import KM_PER_H, Kind
from jounce.job.answer_table import AnswerTable
from jounce.job.on_road import braked, felt
from jounce.questions.braking import braking_tables
from jounce.questions.cornering import cornering_table, detail_table, difference_table
from jounce.questions.effects import effects_of, effects_tables
from jounce.questions.past_the_end import past_the_end
from jounce.questions.question import Choice, Given, Number, Question
from jounce.questions.ridden import ridden
from jounce.questions.ride import damper_tables, flat_table, modes_table, obstacle_table, road_table
from jounce.questions.weighing import pressed_remarks, uneven_table, weighing_table

__all__ = ["QUESTIONS"]


def _numbers(given: Given, name: str) -> tuple[float, ...]:
    return cast("tuple[float, ...]", given[name])


def _one(given: Given, name: str) -> float:
    return _numbers(given, name)[0]


def _brake(case: Case, given: Given, _units: str) -> Sequence[AnswerTable]:
    ahead = np.array(_numbers(given, "at"), dtype=np.float64)
    return braking_tables(case.name, {one.title: braked(one.state, ahead) for one in case.states})


def _corner(case: Case, given: Given, _units: str) -> Sequence[AnswerTable]:
    across, along = _one(given, "at"), _one(given, "ahead")
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


def _ride(case: Case, given: Given, _units: str) -> Sequence[AnswerTable]:
    road, over = road_class(str(given["road"])).name, OBSTACLES.get(str(given["over"]))
    cruising, slow = _one(given, "speed"), _one(given, "slow")
    driven = None if over is None else (over, slow)
    told = [ridden(one.title, one.document, one.state, (road, cruising), driven) for one in case.states]
    found = [modes_table(case.name, told), flat_table(told, cruising), road_table(told, road, cruising)]
    if over is not None:
        found.append(obstacle_table(told, over.name, slow))
    return [*found, *damper_tables(told, Wish(ratio=_one(given, "damping")))]


def _weigh(case: Case, _given: Given, units: str) -> Sequence[AnswerTable]:
    tables: list[AnswerTable] = []
    for one in case.states:
        stands = on_scales(one.car)
        ends = [*past_the_end(one.car, stands.travel[None]), *pressed_remarks(one.car, stands, units)]
        tables += [
            weighing_table(one.document, f"{case.name}, {one.title}, on the scales", stands, ends),
            uneven_table(one.car, one.title if len(case.states) > 1 else ""),
        ]
    return tables


def _effects(case: Case, _given: Given, _units: str) -> Sequence[AnswerTable]:
    one = case.last
    return effects_tables(effects_of(one.document, one.car, f"{case.name}, {one.title}"))


_MOST_ACROSS = 2 * GRAVITY
_ROADS = {name: f"{name}: {words}" for name, words in MEANING.items()}

QUESTIONS = {
    question.name: question
    for question in (
        Question(
            "corner",
            "What cornering does",
            "Roll, balance, wheel lift, loads and camber, each turn for itself; it takes some seconds.",
            (
                Number(
                    "at", Kind.ACCELERATION, "lateral acceleration told in detail", (0.6 * GRAVITY,), 0.1, _MOST_ACROSS
                ),
                Number(
                    "ahead", Kind.ACCELERATION, "acceleration meanwhile, negative in braking", (0.0,), -GRAVITY, GRAVITY
                ),
            ),
            _corner,
        ),
        Question(
            "brake",
            "What braking and driving do",
            "Pitch, loads, how far nose and tail move, and how much grip brakes and drive use, straight ahead.",
            (
                Number(
                    "at",
                    Kind.ACCELERATION,
                    "accelerations, negative in braking",
                    (-0.3 * GRAVITY, -0.6 * GRAVITY, -0.8 * GRAVITY, 0.3 * GRAVITY),
                    -1.5 * GRAVITY,
                    1.5 * GRAVITY,
                    many=True,
                ),
            ),
            _brake,
        ),
        Question(
            "ride",
            "How it rides, and which dampers suit",
            "How body and wheels swing, flat ride, comfort on a road, a drive over an obstacle, dampers to order.",
            (
                Number("speed", Kind.DRIVING_SPEED, "speed on the road", (80 * KM_PER_H,), KM_PER_H, 300 * KM_PER_H),
                Choice("road", "road", "B", _ROADS),
                Choice("over", "also drive over", "", {"": "nothing", **{name: name for name in OBSTACLES}}),
                Number("slow", Kind.DRIVING_SPEED, "speed over it", (20 * KM_PER_H,), KM_PER_H, 300 * KM_PER_H),
                Number("damping", Kind.RATIO, "damping ratio in heave to order dampers for", (0.35,), 0.05, 2.0),
            ),
            _ride,
        ),
        Question(
            "weigh",
            "On the scales",
            "Corner weights and heights, and what an uneven floor would do to them.",
            (),
            _weigh,
        ),
        Question(
            "effects",
            "What one step of every adjuster does",
            "One tooth, turn or millimetre of every adjuster, and every load aboard: heights, weights and angles.",
            (),
            _effects,
        ),
    )
}
