"""Bush laws: odd, monotone, through their rows, with the displacement as the force's inverse."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.errors import InputError
from jounce.elements.bush import BushCurve, Stiffer, displacement_at
from jounce.elements.law import Linear

ROWS = (np.array([0.0, 0.0005, 0.001, 0.002]), np.array([0.0, 800.0, 2500.0, 9000.0]))
CURVE = BushCurve(*ROWS)
PLACES = np.array([-0.0031, -0.0012, -0.0003, 0.0001, 0.0007, 0.0019, 0.0034])


@pytest.mark.parametrize("law", [CURVE, Stiffer(CURVE, 3.0), Linear(2e6)])
def test_force_and_stiffness_are_derivatives_of_the_energy(law):
    h = 1e-7
    slope = (law.energy(PLACES + h) - law.energy(PLACES - h)) / (2 * h)
    rate = (law.force(PLACES + h) - law.force(PLACES - h)) / (2 * h)

    assert law.force(PLACES) == pytest.approx(slope, rel=1e-6)
    assert law.stiffness(PLACES) == pytest.approx(rate, rel=1e-5)


def test_rows_are_met_both_ways_and_nothing_is_stored_at_rest():
    displacement, force = ROWS

    assert CURVE.force(displacement) == pytest.approx(force, rel=1e-14)
    assert CURVE.force(-displacement) == pytest.approx(-force, rel=1e-14)
    assert CURVE.energy(np.array([0.0, 0.001])) == pytest.approx(
        np.array([0.0, CURVE.energy(np.array(-0.001))]), abs=1e-15
    )


def test_force_goes_straight_on_beyond_the_last_row():
    beyond = CURVE.reach + np.array([1e-3, 2e-3])

    assert np.diff(CURVE.force(beyond)) == pytest.approx(1e-3 * CURVE.stiffness(np.array(CURVE.reach)))


def test_curve_is_progressive_without_a_hump():
    x = np.linspace(0, 0.003, 400)

    assert (np.diff(CURVE.force(x)) > 0).all()


@pytest.mark.parametrize("law", [CURVE, Stiffer(CURVE, 7.0), Linear(2e6), Linear(2e6, preload=300.0)])
def test_displacement_at_a_force_carries_it(law):
    force = np.array([-20000.0, -2500.0, -3.0, 0.0, 1e-6, 799.0, 8999.0, 9001.0, 40000.0])

    assert law.force(displacement_at(law, force)) == pytest.approx(force, rel=1e-12, abs=1e-12)


def test_an_imaginary_perturbation_carries_the_slope():
    x = PLACES + 1e-30j

    assert np.imag(CURVE.force(x)) / 1e-30 == pytest.approx(CURVE.stiffness(PLACES), rel=1e-14)
    assert np.imag(CURVE.energy(x)) / 1e-30 == pytest.approx(CURVE.force(PLACES), rel=1e-14)
    force = CURVE.force(PLACES) + 1e-30j
    assert np.imag(displacement_at(CURVE, force)) / 1e-30 == pytest.approx(1 / CURVE.stiffness(PLACES), rel=1e-9)


@pytest.mark.parametrize(
    ("displacement", "force", "words"),
    [
        ([0.0, 0.001], [0.0, 100.0, 200.0], "pair up"),
        ([], [], "pair up"),
        ([0.001, 0.001], [100.0, 200.0], "must rise"),
        ([0.001, 0.002], [200.0, 200.0], "must rise"),
        ([0.0, 0.001], [10.0, 200.0], "must rise"),
        ([0.0, 0.001], [0.0, np.nan], "must rise"),
        ([0.0], [0.0], "must rise"),
        ([-0.001, 0.001], [1.0, 2.0], "displacement of the bush"),
        ([0.001, 0.5], [1.0, 2.0], "displacement of the bush"),
    ],
)
def test_bad_rows_are_refused(displacement, force, words):
    with pytest.raises(InputError, match=words):
        BushCurve(np.array(displacement), np.array(force))


def test_a_law_that_is_no_bush_is_a_fault_of_the_caller():
    with pytest.raises(TypeError, match="a bush has no object"):
        displacement_at(object(), np.array(1.0))
