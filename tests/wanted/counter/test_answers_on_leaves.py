"""A car on leaf springs at the counter: three answers, leaves of the shelf among them."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from jounce.car.file.reading import read_car
from jounce.case.case import NO_RULES
from jounce.checks import Verdict
from jounce.conventions.units import MM
from jounce.shelf.file import read_shelf
from jounce.wanted.counter.found import Watch, answered
from jounce.wanted.counter.wish import CounterWish

DEMO = Path(str(files("jounce.demo")))


@pytest.mark.validation_slow
def test_a_car_on_leaves_gets_three_answers_with_leaves_of_the_shelf():
    car, shelf = read_car(DEMO / "bracken-16.toml"), read_shelf(DEMO / "shelf.toml")
    found = answered(car, NO_RULES, shelf, CounterWish(lower=20 * MM, feel="firmer"), Watch())

    assert not found.why
    assert len(found.answers) == 3
    for one in found.answers:
        assert any(name == "rear leaves" for name, _, _ in one.parts)
        assert not [check for check in one.case.checks if check.verdict is Verdict.FAIL]
        assert one.case.plan.planned.sits.travel["rear", "left"] == pytest.approx(20 * MM, abs=4 * MM)
