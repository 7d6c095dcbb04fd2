"""Tables under the hand: held to whole cars between those that they go through."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind
from jounce.live.figure import LiveFigure
from jounce.live.figures import read_lean, read_lift, read_standing
from jounce.live.tables import lever_values, live_tables
from tests.live.demo_levers import car_of, levers, nothing_told

MOVED = ("front.height", "front.bar", "front.rubber", "front.damping")


@pytest.fixture(scope="module")
def tables():
    own = levers("bracken-16")
    return live_tables(car_of("bracken-16"), [own[key] for key in MOVED], nothing_told)


def test_they_tell_what_whole_cars_do(tables):
    car = car_of("bracken-16")
    for values in lever_values(tables.levers, np.random.default_rng(3).uniform(-1, 1, (2, len(MOVED)))):
        stood = car.stands(values)
        exact = {**read_standing(car, stood)}
        exact["front.damping"] *= values["front.damping"]
        told = tables.told(values)
        assert not {"lean", "front.lift.left"} & {*told}  # with rubbers elsewhere they wait for rest
        for table in tables.tables:
            key = table.figure.key
            if table.good and key in told:
                allowed = 1e-4 if table.figure.kind is Kind.LENGTH else 0.005 * abs(exact[key])
                assert abs(told[key] - exact[key]) <= allowed, key
    assert sum(table.good for table in tables.tables) >= len(tables.tables) - 2


def test_lean_and_lift_with_the_rubbers_as_planned(tables):
    car = car_of("bracken-16")
    values = {"front.height": car.today.lower("front") + 0.004, "front.bar": 0.0187}
    stood = car.stands(values)
    exact, told = {**read_lean(stood), **read_lift(stood)}, tables.told(values)
    good = [one.figure.key for one in tables.tables if one.good and one.figure.key in exact]

    assert good
    for key in good:
        assert told[key] == pytest.approx(exact[key], rel=0.005), key


def test_room_follows_its_own_levers(tables):
    """A rubber set lower is touched later, by as much as the rod travels; metal that it does not move stays."""
    rubber = tables.levers[2]
    before, later = tables.told({}), tables.told({"front.rubber": rubber.low, "front.damping": 1.5})
    touched, metal = "front.rubber.bump rubber touches.left", "front.bump.damper closed.left"

    assert later[touched] - before[touched] > rubber.today - rubber.low  # the rod goes less than the wheel
    assert later[metal] == pytest.approx(before[metal], abs=1e-9)
    assert later["front.damping"] == pytest.approx(1.5 * before["front.damping"], rel=1e-12)


def test_as_planned_they_tell_the_planned_car(tables):
    car = car_of("bracken-16")
    exact, told = {**read_standing(car, car.today), **read_lean(car.today)}, tables.told({})

    assert told["front.wheel_rate"] == pytest.approx(exact["front.wheel_rate"], rel=1e-6)
    assert told["lean"] == pytest.approx(exact["lean"], rel=0.005)
    assert tables.told({"front.bar": tables.levers[1].high})["lean"] < 0.98 * told["lean"]


def test_a_miss_is_counted_in_parts_of_what_is_allowed():
    assert LiveFigure("a", "a", Kind.LENGTH).missed(0.0352, 0.035) == pytest.approx(2.0)
    assert LiveFigure("b", "b", Kind.FREQUENCY).missed(1.99, 2.0) == pytest.approx(1.0)


def test_a_car_that_stands_nowhere_has_none():
    own = levers("bracken-16")["front.height"]
    far = replace(own, low=own.today - 2.0, high=own.today + 2.0)
    with pytest.raises(Impossible, match="can be told beforehand"):
        live_tables(car_of("bracken-16"), [far], nothing_told)
