"""Roll curves compiled against a second method, and laws in pieces against themselves."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from jounce.elements.law import Linear, OneSided
from jounce.elements.springs.coil_spring import Turns
from jounce.elements.springs.curve_stack import CurveStack
from jounce.elements.springs.progressive import ConstantFrequency, SpringCurve
from jounce.elements.springs.stepped import SteppedRate
from jounce.elements.stops.bump_stop import BumpStop, polynomial_stop
from jounce.job.file import read_job
from jounce.numerics.compiled import compiled
from jounce.search.build import search_space
from jounce.search.kernels.law_pieces import law_pieces, pushed
from jounce.search.roll_curves import both_turns, rolling_axle
from jounce.search.slots import USUAL_PLACES, Choosy, slot_named, slots_of
from jounce.search.variants import variants_of
from jounce.shelf.file import read_shelf
from tests.reference.roll_solver import roll_curves

DEMO = Path(str(files("jounce.demo")))
ROWS = np.array([[0.01, 0.02, 0.04], [300.0, 900.0, 4000.0]])
LAWS = (
    Linear(20e3, 300.0),
    OneSided(30e3, -0.02),
    OneSided(30e3, np.inf),
    SteppedRate((OneSided(4e3, 0.01), OneSided(16e3, start=0.05))),
    SpringCurve(*ROWS),
    BumpStop(*ROWS),
    polynomial_stop([1e3, 2e6, 0.0, 3e9, 1e11], reach=0.030),
)
READ = (CurveStack(SpringCurve(*ROWS), (Turns(60e3, 0.01),)), ConstantFrequency(20e3, 0.1))


@compiled
def push_each(laws, which, places, force, rate):
    for k in range(len(places)):
        force[k], rate[k] = pushed(laws, which, places[k])


def pieces_of(law):
    places = np.random.default_rng(4).uniform(-0.1, 0.12, 400)
    force, rate = np.empty(400), np.empty(400)
    laws = law_pieces([LAWS[0], law, LAWS[3]])
    push_each(laws, 1, places, force, rate)
    return force, rate, law.force(places), law.stiffness(places)


@pytest.mark.parametrize("law", LAWS, ids=lambda law: type(law).__name__)
def test_a_law_in_pieces_is_that_law(law):
    force, rate, own, steep = pieces_of(law)

    assert force == pytest.approx(own, rel=1e-12, abs=1e-9)
    assert rate == pytest.approx(steep, rel=1e-11, abs=1e-6)


@pytest.mark.parametrize("law", READ, ids=lambda law: type(law).__name__)
def test_a_law_of_another_kind_is_read_closely(law):
    """Where one of its members goes solid between two places that are read, it is off by a newton at most."""
    force, _, own, _ = pieces_of(law)

    assert force == pytest.approx(own, rel=1e-6, abs=1.0)


@cache
def space(car):
    job, document = read_job(DEMO / f"{car}-lower.toml")
    slots = [slot for slot in slots_of(document) if slot in map(slot_named, USUAL_PLACES)]
    return search_space(document, job, read_shelf(DEMO / "shelf.toml"), slots, Choosy(unsure=True))


@pytest.mark.parametrize("car", ["brisk-14", "sedge-13"])
@pytest.mark.parametrize("axle", [0, 1])
def test_curves_are_those_of_a_second_method(car, axle):
    """Both settle to a ten-thousandth of a newton; what the second one finds, which gives up sooner, is the same."""
    every, frame = variants_of(space(car).axles[axle]), space(car).frame(axle)
    some = every.take(np.sort(np.random.default_rng(9).choice(len(every), min(len(every), 10), replace=False)))
    found = both_turns(rolling_axle(some.space.elastic, frame), some.chosen, some.wound())
    for curves, turn in zip(found, (1.0, -1.0), strict=True):
        other = roll_curves(some, frame, turn)
        known = ~np.isnan(other.moment) & (np.abs(curves.load).min(axis=-1) > 10)  # near lift there may be two rests
        assert known.mean() > 0.7
        assert curves.moment[known] == pytest.approx(other.moment[known], abs=5e-3)
        assert curves.load[known] == pytest.approx(other.load[known], abs=5e-3)
