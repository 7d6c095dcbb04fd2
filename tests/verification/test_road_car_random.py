"""The whole car on its road in random states within its grip: it comes to rest, and nothing is lost."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_as_found
from jounce.behaviour.road.road_car import Load
from tests.behaviour.demo_layouts import CARS, document

GRAVITY = 9.80665  # [m/s²], CGPM 1901
GRIP = 7.0
"""Acceleration in any direction up to which every demo car keeps on its wheels [m/s²]."""
MOST_DRIVE = 3.0


@cache
def road_car_of(name):
    """A demo car as found."""
    return car_as_found(document(name))


@st.composite
def accelerations(draw):
    """Across and ahead within a circle, driving bounded further."""
    size, way = draw(st.floats(0, GRIP)), draw(st.floats(-np.pi, np.pi))
    return size * np.cos(way), min(size * np.sin(way), MOST_DRIVE)


@st.composite
def aboard(draw):
    """Up to three things within the body."""
    count = draw(st.integers(0, 3))
    place = st.tuples(st.floats(-2.6, 0.2), st.floats(-0.5, 0.5), st.floats(0.2, 0.9))
    return tuple(Load(f"thing {i}", draw(st.floats(0, 60)), np.array(draw(place))) for i in range(count))


@given(name=st.sampled_from(CARS), acting=accelerations(), loads=aboard())
@settings(max_examples=60)
def test_every_car_comes_to_rest_and_keeps_its_weight(name, acting, loads):
    car = road_car_of(name).with_loads(loads)
    rest = at_rest(car, steady(*acting))
    now = rest.acted

    assert rest.reached.all()
    assert np.isfinite(rest.freedoms).all()
    assert all(np.isfinite(part).all() for part in (now.load, now.lateral, now.ahead, now.foot, now.centre, now.axis))
    assert (now.load >= 0).all()
    assert now.load.sum() == pytest.approx(car.mass * GRAVITY, abs=1e-5)
    assert now.lateral.sum() == pytest.approx(car.mass * acting[0], abs=1e-5)
    assert now.ahead.sum() == pytest.approx(car.mass * acting[1], abs=1e-5)
