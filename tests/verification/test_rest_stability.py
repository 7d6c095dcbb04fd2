"""Stability of rests near the end of a turn by a second method: the stiffness from forces a little to each side of them.

The program perturbs each freedom by an imaginary amount and holds the tyres' shares; here the forces themselves are taken
a micrometre to both sides, the tyres sharing anew each time, and the second rest is found by scipy's own solver.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import root

from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.forces import FREEDOMS, ROLL, TRAVELS, acted
from jounce.behaviour.road.lift import turns_followed
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.reading import read_car
from jounce.conventions.constants import GRAVITY

ASIDE = 1e-6  # [m or rad]
SCALE = np.array([6e4, 6e4, 3e4, 2e5, 2e5, 2e5, 2e5])  # about the stiffness of each freedom [N/m, N m/rad]


@cache
def car(name):
    return car_as_found(read_car(Path(str(files("jounce.demo").joinpath(f"{name}.toml")))))


def forces(name, at, across):
    freedoms = np.asarray(at, float).reshape(-1, FREEDOMS)
    acting = steady(np.full(len(freedoms), across))
    paths = tuple(
        on_body.at(freedoms[:, travels], acting.rack)[0]
        for on_body, travels in zip(car(name).axles, TRAVELS, strict=True)
    )
    return acted(car(name), freedoms, paths, acting).unbalanced


def softest(name, at, across):
    """Least eigenvalue of the stiffness, each freedom measured by its own scale [-]."""
    ways = ASIDE * np.eye(FREEDOMS)
    slope = (forces(name, at + ways, across) - forces(name, at - ways, across)) / (2 * ASIDE)
    return float(np.linalg.eigvals(-slope.T / SCALE[:, None]).real.min())


@cache
def farthest(name):
    """Where the right turn ends [m/s²]."""
    standing = at_rest(car(name), steady())
    return turns_followed(car(name), np.array([-1.0]), standing, np.zeros(1)).limits[0].farthest


@pytest.mark.parametrize("name", ["sorrel-21", "bracken-16", "mallow-18"])
def test_rests_that_are_told_near_the_end_are_stable_and_soften_towards_it(name):
    found = []
    for share in (0.5, 0.98, 0.999):
        across = -share * farthest(name)
        rest = at_rest(car(name), steady(across))
        assert rest.reached[0]
        assert np.abs(forces(name, rest.freedoms[0], across)).max() < 1e-5
        found.append(softest(name, rest.freedoms[0], across))

    assert min(found) > 0
    assert found[-1] < found[0]


def test_beyond_a_fold_the_other_rest_is_balanced_but_not_stable():
    """At 0.765 g sorrel-21 has a second rest at 6.92 degrees of roll, and the told one at 5.15 degrees."""
    across = -0.765 * GRAVITY
    told = at_rest(car("sorrel-21"), steady(across)).freedoms[0]
    fold = at_rest(car("sorrel-21"), steady(-0.9995 * farthest("sorrel-21"))).freedoms[0]
    other = root(lambda at: forces("sorrel-21", at, across)[0] / SCALE, 2 * fold - told).x

    assert np.abs(forces("sorrel-21", other, across)).max() < 1e-2
    assert np.degrees(np.abs([told[ROLL], other[ROLL]])) == pytest.approx([5.15, 6.92], abs=0.02)
    assert softest("sorrel-21", told, across) > 0 > softest("sorrel-21", other, across)
