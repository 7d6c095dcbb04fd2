"""Braking and driving straight ahead, as tables: one column for each acceleration."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.road.brake import StraightAhead, most_drive
from jounce.behaviour.road.followed import PathEnd
from jounce.behaviour.road.locking import locking
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.certainty import MEANING_OF_SOME
from jounce.conventions.constants import GRAVITY
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import Kind, show
from jounce.job.answer_table import AnswerTable, answer
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.numerics.arrays import Array
from jounce.questions.cornering import ENDS
from jounce.questions.past_the_end import past_the_end


def braking_tables(
    name: str, cars: Mapping[str, tuple[RoadCar, StraightAhead, Mapping[str, Array]]]
) -> list[AnswerTable]:
    """A table for each car.

    Args:
        name: the car's name
        cars: each car with what braking and driving do to it and the bands of that, by title
    """
    return [_table(f"{name}, {title}, straight ahead", *one) for title, one in cars.items()]


def _table(question: str, car: RoadCar, told: StraightAhead, bands: Mapping[str, Array]) -> AnswerTable:
    columns = tuple(show(float(a), Kind.ACCELERATION, sign=True) for a in told.acting.ahead)
    load, used = told.load, told.friction_used
    found = (
        ("dive", told.pitch),
        ("front_dive_travel", told.travel[:, 0]),
        ("rear_dive_travel", told.travel[:, 1]),
        ("front_axle_load", load[:, 0]),
        ("rear_axle_load", load[:, 1]),
        ("front_friction_used", used[:, 0]),
        ("rear_friction_used", used[:, 1]),
    )
    rows = tuple(
        answer(RESULTS[name], _cells(values, told), tuple(None if np.isnan(x) else float(x) for x in bands[band]))
        for (name, values), band in zip(found, _BANDED, strict=True)
    )
    most_driven = most_drive(car, np.zeros(1))
    drive = float(most_driven.ahead[0])
    share = car.driveline.brake_front_share
    road = f"on a road that gives {car.driveline.friction:.2g} of the load"
    spin = f"The {car.driveline.driven} wheels spin from {show(drive, Kind.ACCELERATION)} {road}."
    if np.isnan(drive):
        why = ENDS.get(most_driven.ends[0], "not before the road gives no more")
        spin = f"From where the {car.driveline.driven} wheels spin {road}: {why}."
    taken = "" if car.driveline.brakes_told else "The car file does not say how the brakes share; taken is: "
    remarks = [
        f"{taken}{share * 100:.0f} % of the braking is in front; the wheels' brakes sit at the wheels.",
        *_locking(car, road),
        spin,
    ]
    lifted = [k for k in range(len(told.acting)) if load[k].min() <= _NOTHING]
    if lifted:
        remarks.append(f"At {columns[lifted[0]]} an axle leaves the road.")
    most = float(np.abs(told.acting.ahead).max()) / GRAVITY
    if most > car.driveline.friction:
        remarks.append("More than the road gives is asked for: the numbers there are of a road with more grip.")
    rests = [f"At {c}" for c, good in zip(columns, told.states.reached, strict=True) if good]
    remarks += past_the_end(car, told.states.travel[told.states.reached], rests)
    remarks.append(MEANING_OF_SOME)
    return AnswerTable(question, columns, rows, tuple(remarks))


_NOTHING = 1e-6  # [N]
_BANDED = ("pitch", "front_travel", "rear_travel", "front_load", "rear_load", "front_used", "rear_used")
"""Names of the rows' bands."""


def _locking(car: RoadCar, road: str) -> list[str]:
    """Which axle locks first and from where, and what share in front would lock both together."""
    found = locking(car)
    told: list[str] = []
    if found.first is None or found.at is None:
        told.append(f"No wheels lock up to {show(found.looked, Kind.ACCELERATION)} {road}.")
    else:
        said = f"The {found.first} wheels lock first, from {show(found.at, Kind.ACCELERATION)}, {road}."
        told.append(AnswerRemark(said, AnswerRemarkKind.CHOSEN))
    if found.rear_asks_more is not None:
        more = show(found.rear_asks_more, Kind.ACCELERATION)
        told.append(f"On any road that gives less than {more} of braking the front locks first, beyond it the rear.")
    if found.even is not None:
        told.append(
            f"With {found.even * 100:.0f} % in front both would lock together there; a valve that holds the rear back is "
            "not in these numbers."
        )
    return told


def _cells(values: Array, told: StraightAhead) -> tuple[float | str | None, ...]:
    return tuple(
        ENDS[end] if end is not PathEnd.RESTS else None if np.isnan(value) else float(value)
        for value, end in zip(values, told.states.ends, strict=True)
    )
