"""A rod's length for where a beam axle's middle stands: against placing the axle there, and a rod too short."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.behaviour.axle.motions import place_axle
from jounce.case.case import case_of_file
from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind
from jounce.job.settings import placed_in_the_middle
from jounce.shelf.shelf import Shelf
from jounce.wanted.answered import answered
from jounce.wanted.main_springs import raised_springs
from jounce.wanted.panhard_rods import axle_shift, longer_rod
from jounce.wanted.seek import PartWish
from jounce.wanted.stood import stand
from jounce.wanted.wishes import WishedPart
from jounce.wanted.work_car import WorkCar
from tests.wanted.demo_work import DEMO, found, today, work_of

WITH_A_ROD = ["brisk-14", "burnet-17", "fescue-10", "yarrow-12"]


def lowered(car):
    """The car 30 mm lower behind, and it at rest."""
    before = today(car).lower("rear")
    answer = found(raised_springs(work_of(car), "rear"), lambda stood: stood.lower("rear") - before, 0.03)
    return replace(work_of(car), car=answer.stood.car), answer.stood


@pytest.mark.parametrize("car", WITH_A_ROD)
def test_rod_is_as_long_as_the_axle_put_in_the_middle_asks_for(car):
    """Another way: the axle's middle driven to the centre plane where the answer stands, and the rod measured there."""
    work, stood = lowered(car)
    answer = found(longer_rod(work, "rear"), axle_shift("rear"), 0.0)
    model = work.model("rear")
    states = replace(answer.stood.states("rear"), settings=None)
    length = model.stand.taken(["rear.panhard"]).values(placed_in_the_middle(model, states).pose)[0, 0]

    assert answer.value == pytest.approx(float(length), abs=1e-9)
    assert abs(axle_shift("rear")(stood)) > 1e-5


def test_a_watt_linkages_bracket_goes_where_the_axle_put_in_the_middle_asks_for():
    """Another way: as above, the bracket's place left open; then 4 mm to the side."""
    work, _ = lowered("teasel-15")
    answers = [found(longer_rod(work, "rear"), axle_shift("rear"), at) for at in (0.0, 0.004)]
    model = work.model("rear")
    states = replace(answers[0].stood.states("rear"), settings={"rear.shift": 0.0})
    placed = place_axle(model.stand, "rear", states, freed=("rear.watt_bracket",))
    place = model.stand.taken(["rear.watt_bracket"]).values(placed.pose)[0, 0]

    assert answers[0].value == pytest.approx(float(place), abs=1e-9)
    assert answers[1].value - answers[0].value == pytest.approx(
        -0.004, rel=0.02
    )  # on the axle, which goes the other way


@pytest.mark.parametrize("car", WITH_A_ROD)
def test_todays_for_todays_and_one_way_only(car):
    part, now = longer_rod(work_of(car), "rear"), axle_shift("rear")(today(car))
    answers = [found(part, axle_shift("rear"), now + more) for more in (-0.01, -1e-4, 0.0, 1e-4, 0.01)]
    ways = np.diff([one.value for one in answers])

    assert answers[2].value == pytest.approx(part.today, abs=1e-9)
    assert np.all(ways > 0) or np.all(ways < 0)
    assert answers[2].slope == pytest.approx(2e-4 / (answers[3].value - answers[1].value), rel=1e-3)


def test_a_rod_that_is_too_short_tells_by_how_much():
    """The demo job's rod goes to 865 mm: the axle 30 mm off to the right asks for more."""
    planned = case_of_file(DEMO / "brisk-14-lower.toml").planned
    work = WorkCar(planned.document, planned.car)
    wish = PartWish("shift", Kind.LENGTH, -0.03, axle_shift("rear"), ("", ""))
    told = answered(WishedPart(wish, lambda: longer_rod(work, "rear")), "metric", Shelf())
    free = replace(longer_rod(work, "rear"), low=0.7, high=1.0)
    needed = found(free, axle_shift("rear"), -0.03).value

    assert told.found is None
    assert needed > 0.865
    assert f"It would take {needed * 1e3:.1f} mm, {(needed - 0.865) * 1e3:.1f} mm more than the most" in told.cannot
    assert "865.0 mm (the longest that it can be set to)" in told.cannot
    assert axle_shift("rear")(stand(free.fitted(needed))) == pytest.approx(-0.03, abs=1e-9)


def test_turns_are_those_of_its_thread():
    planned = case_of_file(DEMO / "brisk-14-lower.toml").planned
    work = WorkCar(planned.document, planned.car)
    part = longer_rod(work, "rear")
    answer = found(part, axle_shift("rear"), 0.001)
    longer, turns = part.also(answer.value, answer.stood)

    assert longer.value == pytest.approx(answer.value - part.today)
    assert turns.value == pytest.approx(longer.value / 0.0015)


def test_an_axle_without_a_rod_is_told():
    with pytest.raises(Impossible, match="no rod"):
        longer_rod(work_of("mallow-18"), "rear")
