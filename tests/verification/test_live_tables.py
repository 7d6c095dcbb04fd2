"""Every demo job under the hand, all levers at once: good tables miss no whole car by more than is told."""

from __future__ import annotations

from importlib.resources import files

import numpy as np
import pytest

from jounce.conventions.units import Kind
from jounce.live.figures import read_lean, read_lift, read_standing
from jounce.live.tables import lever_values, live_tables
from tests.live.demo_levers import car_of, levers, nothing_told

pytestmark = pytest.mark.validation_long
JOBS = sorted(
    one.name.removesuffix("-lower.toml") for one in files("jounce.demo").iterdir() if one.name.endswith("-lower.toml")
)
LATER = ("lean", "front.lift.left", "front.lift.right", "rear.lift.left", "rear.lift.right")
"""What may be told only when the hand rests: it depends on bump rubbers and lifted wheels."""


@pytest.mark.parametrize("name", JOBS)
def test_tables_of_a_demo_job(name):
    car = car_of(name)
    tables = live_tables(car, [*levers(name).values()], nothing_told)
    good = [table.figure for table in tables.tables if table.good]

    assert {table.figure.key for table in tables.tables} - {one.key for one in good} <= {*LATER}
    for values in lever_values(tables.levers, np.random.default_rng(11).uniform(-1, 1, (8, len(tables.levers)))):
        at_rest = {key: value for key, value in values.items() if not key.endswith(".rubber")}
        stood = car.stands(at_rest)
        exact = {**read_lean(stood), **read_lift(stood), **read_standing(car, car.stands(values))}
        for axle in ("front", "rear"):
            exact[f"{axle}.damping"] = exact.get(f"{axle}.damping", 0.0) * values.get(f"{axle}.damping", 1.0)
        told = {**tables.told(at_rest), **tables.told(values)}
        for one in good:
            allowed = 1e-4 if one.kind is Kind.LENGTH else 0.005 * abs(exact[one.key])
            assert abs(told[one.key] - exact[one.key]) <= allowed, (one.key, values)
