"""Every law: the force is the slope of the energy, the stiffness the slope of the force, and nothing jumps but by name.

The laws are polynomials between their knots, of fourth order in energy at most. The five-point difference is exact for
such a polynomial, so that only rounding separates it from the law's own derivative, as long as no knot lies inside the
five points.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.elements.bars.torsion_bar import TorsionBar
from jounce.elements.law import ElementLaw, Linear, OneSided, Parallel
from jounce.elements.springs.coil_spring import CoilSpring
from jounce.elements.springs.coil_stack import Stack
from jounce.elements.stops.bump_stop import BumpStop, polynomial_stop
from jounce.elements.tyres.tyre import Tyre
from jounce.numerics.arrays import Array

EPSILON = np.finfo(float).eps


class Case(NamedTuple):
    """A law and the displacements at which one of its pieces ends, in rising order."""

    law: ElementLaw
    knots: list[float]


def _numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_subnormal=False)


def _linear() -> st.SearchStrategy[Case]:
    return st.builds(lambda rate, load: Case(Linear(rate, load), []), _numbers(0, 1e6), _numbers(-1e4, 1e4))


def _one_sided() -> st.SearchStrategy[Case]:
    return st.builds(lambda rate, start: Case(OneSided(rate, start), [start]), _numbers(1, 1e6), _numbers(-0.2, 0.2))


def _parallel() -> st.SearchStrategy[Case]:
    return st.builds(
        lambda rates, start: Case(Parallel((Linear(rates[0]), OneSided(rates[1], start))), [start]),
        st.tuples(_numbers(1, 1e6), _numbers(1, 1e6)),
        _numbers(-0.2, 0.2),
    )


def _stack() -> st.SearchStrategy[Case]:
    def build(rates: list[float], travels: list[float]) -> Case:
        springs = [CoilSpring(k, 0.3, 0.3 - s) for k, s in zip(rates, travels, strict=True)]
        law = Stack(tuple(springs)).law
        return Case(law, sorted(float(part.start) for part in law.laws))

    sizes = st.integers(1, 4)
    return sizes.flatmap(
        lambda n: st.builds(
            build,
            st.lists(_numbers(1e3, 2e5), min_size=n, max_size=n),
            st.lists(_numbers(0.005, 0.2), min_size=n, max_size=n),
        )
    )


def _bump_stop() -> st.SearchStrategy[Case]:
    def build(steps: list[float], rises: list[float]) -> Case:
        compression = np.append(0.0, np.cumsum(steps))
        force = np.append(0.0, np.cumsum(rises))
        return Case(BumpStop(compression, force), compression.tolist())

    rows = st.integers(1, 6)
    return rows.flatmap(
        lambda n: st.builds(
            build,
            st.lists(_numbers(0.002, 0.03), min_size=n, max_size=n),
            st.lists(_numbers(1.0, 3e3), min_size=n, max_size=n),
        )
    )


def _polynomial() -> st.SearchStrategy[Case]:
    coefficients = st.tuples(_numbers(0, 1e5), _numbers(1, 1e6), _numbers(0, 1e8))
    return st.builds(
        lambda c, reach: Case(polynomial_stop(list(c), reach), [0.0, reach]), coefficients, _numbers(0.01, 0.1)
    )


def _tyre() -> st.SearchStrategy[Case]:
    return st.builds(
        lambda rate, load: Case(Tyre(rate).law_about(load), [-load / rate]), _numbers(1e5, 4e5), _numbers(0, 6e3)
    )


LAWS = st.one_of(_linear(), _one_sided(), _parallel(), _stack(), _bump_stop(), _polynomial(), _tyre())


def _five_points(function: Callable[[Array], Array], x: float, step: float) -> tuple[float, float]:
    """Derivative by differences, and what rounding alone may put into it."""
    offsets = np.array([-2, -1, 1, 2])
    values = function(x + step * offsets)
    slope = float(np.array([1, -8, 8, -1]) @ values) / (12 * step)
    return slope, 64 * EPSILON * (float(np.abs(values).max()) / step + abs(slope))


@given(LAWS, st.floats(0, 1), st.integers(0, 6))
def test_force_and_stiffness_are_exact_derivatives(case: Case, share: float, piece: int):
    low, high = -0.3, 0.6
    edges = [low, *(knot for knot in case.knots if low < knot < high), high]
    left, right = edges[piece % (len(edges) - 1)], edges[piece % (len(edges) - 1) + 1]
    x = left + (0.1 + 0.8 * share) * (right - left)
    step = 0.04 * (right - left)
    at = np.array(x)

    # x itself is rounded: the law's own slope turns that into a difference as well.
    if step < 1e-7:
        return  # two knots all but on one another leave no room for five points between them
    for function, derivative in ((case.law.energy, case.law.force), (case.law.force, case.law.stiffness)):
        slope, rounding = _five_points(function, x, step)
        moved = 16 * EPSILON * abs(x) * float(np.abs(derivative(x + step * np.array([-2, 2]))).max()) / step
        assert float(derivative(at)) == pytest.approx(slope, rel=0, abs=rounding + moved)


@given(LAWS)
def test_energy_and_force_do_not_jump_at_a_knot(case: Case):
    for knot in case.knots:
        below, above = (np.array(knot + side * 1e-9) for side in (-1, 1))
        stiffest = max(float(case.law.stiffness(below)), float(case.law.stiffness(above)))
        jump = float(case.law.force(above) - case.law.force(below))
        lift = float(case.law.energy(above) - case.law.energy(below))

        assert -1e-9 <= jump <= 2.1e-9 * stiffest + 1e-9
        strongest = float(np.abs(case.law.force(np.array([below, above]))).max())
        assert abs(lift) <= 2.1e-9 * strongest + 1e-12 * abs(float(case.law.energy(above))) + 1e-15


@given(_bump_stop())
def test_a_bump_stop_has_one_slope_on_both_sides_of_a_row(case: Case):
    law, rows = case
    for row in rows[1:]:
        below, above = law.stiffness(np.array([np.nextafter(row, 0), np.nextafter(row, 1)]))

        assert below == pytest.approx(above, rel=1e-9, abs=1e-6)


@given(_bump_stop(), st.lists(_numbers(-0.05, 0.3), min_size=2, max_size=20))
def test_a_bump_stop_never_softens_its_push(case: Case, places: list[float]):
    x = np.sort(places)
    force = case.law.force(x)

    assert np.all(force[x <= 0] == 0)
    assert np.all(np.diff(force) >= -1e-9 * force.max(initial=1.0))


@given(_bump_stop())
def test_a_bump_stop_passes_through_its_rows_and_goes_straight_on(case: Case):
    stop, rows = case
    assert isinstance(stop, BumpStop)
    last = rows[-1]
    slope = stop.stiffness(np.array(last))

    np.testing.assert_allclose(stop.force(stop.compression_points), stop.force_points, rtol=1e-12)
    np.testing.assert_allclose(stop.stiffness(np.array([last + 0.01, last + 0.2])), slope, rtol=1e-12)
    np.testing.assert_allclose(stop.force(np.array(last + 0.05)), stop.force_points[-1] + 0.05 * slope, rtol=1e-12)


def test_the_stiffness_of_a_one_sided_law_jumps_by_its_rate():
    law = OneSided(2e4, start=0.01)

    assert law.stiffness(np.array([0.01, np.nextafter(0.01, 1)])).tolist() == [0.0, 2e4]


@given(_numbers(0.01, 0.05), _numbers(0.3, 2.0), st.floats(0, 0.9), _numbers(-0.8, 0.8))
def test_energy_of_a_torsion_bar_by_torque_and_by_twist(diameter: float, length: float, bore: float, twist: float):
    bar = TorsionBar(diameter, length, 78.5e9, inner_diameter=bore * diameter)
    torque = bar.law.force(np.array(twist))

    assert bar.law.energy(np.array(twist)) == pytest.approx(bar.energy(torque), rel=1e-12)
