"""A helper under a coil: against the file with such a helper, its main coil as much shorter."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.static import loaded, spring_wound
from jounce.behaviour.road.of_document import car_of
from jounce.car.file.reading import parse_car
from jounce.car.file.rewriting import rewritten
from jounce.car.mechanics.assembly import axle_model
from jounce.conventions.errors import Impossible
from jounce.layouts.naming import SIDES
from jounce.wanted.damper_ends import full_travel
from jounce.wanted.helpers import SOLID_AT, compressed_hanging, helper_travel
from jounce.wanted.seek import NotNeeded
from jounce.wanted.stood import stand
from tests.wanted.demo_work import found, text_of, today, work_of

LOOSE = [("burnet-17", "rear"), ("sorrel-21", "rear")]
KEPT = 0.004  # compression at full droop [m]


@pytest.mark.parametrize(("car", "axle"), LOOSE)
def test_file_with_such_a_helper_keeps_the_spring_seated(car, axle):
    """The car read anew with the helper in its file: solid at rest, it changes nothing there and is free below."""
    part = helper_travel(work_of(car), axle, today(car), KEPT)
    answer = found(part, compressed_hanging(axle), KEPT)
    rate, force, _ = part.also(answer.value, answer.stood)
    helper = {"rate": rate.value / 1e3, "solid_length": 12.0, "free_length": 12.0 + answer.value * 1e3}
    text = rewritten(text_of(car), {f"{axle}.spring.helper.{key}": value for key, value in helper.items()})
    document = parse_car(text, car)
    models = [loaded(axle_model(document, name))[0] for name in ("front", "rear")]
    anew = stand(car_of(document, *models))

    assert compressed_hanging(axle)(anew) == pytest.approx(KEPT, abs=1e-8)
    for figure in ("wheel_rate", "ride_frequency"):
        assert anew.of_wheels(axle, figure) == pytest.approx(today(car).of_wheels(axle, figure), rel=1e-9)
    assert force.value == pytest.approx(rate.value * answer.value)
    assert force.value == pytest.approx(
        SOLID_AT * min(today(car).axles[axle].wheels[side].spring_force for side in SIDES)
    )


@pytest.mark.parametrize(("car", "axle"), LOOSE)
def test_travel_is_what_is_short_and_what_is_kept(car, axle):
    stood = today(car)
    model = stood.car.axles[1].axle
    droop, _ = full_travel(stood, axle, "droop")
    short = -min(spring_wound(model, side, stood.states(axle), droop) for side in SIDES)
    travels = [
        found(helper_travel(work_of(car), axle, stood, kept), compressed_hanging(axle), kept).value
        for kept in (KEPT, 2 * KEPT)
    ]

    assert travels[0] == pytest.approx(short + KEPT, abs=1e-8)
    assert np.diff(travels)[0] == pytest.approx(KEPT, abs=1e-8)


def test_none_is_needed_where_the_spring_is_long_enough():
    with pytest.raises(NotNeeded):
        helper_travel(work_of("mallow-18"), "rear", today("mallow-18"), 0.002)


def test_a_bar_has_none():
    with pytest.raises(Impossible, match="wound"):
        compressed_hanging("front")(today("brisk-14"))
    with pytest.raises(Impossible, match="no coils"):
        helper_travel(work_of("brisk-14"), "front", today("brisk-14"), KEPT)
