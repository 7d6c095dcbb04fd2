"""Shapes of bump stops: formulas by hand, exact derivatives, what lies beyond, variants, refusals."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from jounce.conventions.errors import InputError
from jounce.elements.linear_extrapolation import LinearExtrapolation
from jounce.elements.power_integral import power_integral
from jounce.elements.stops.bump_stop import BumpStop
from jounce.elements.stops.stop_shapes import HardeningRubber, TwoStageRubber, hardening_stop, with_solid
from tests.elements.law_checks import STEP, check_derivatives, check_energy_is_the_area


@pytest.mark.parametrize("exponent", [-3.0, -1.0, -1e-9, 0.0, 1e-12, 1e-5, 0.3, 1.0, 2.0])
def test_area_under_a_power(exponent: float):
    left = np.array([1e-3, 0.4, 0.999, 1.0])
    nodes, weights = np.polynomial.legendre.leggauss(40)
    exact = [np.log(x) * 0.5 * np.sum(weights * np.exp(exponent * np.log(x) * 0.5 * (nodes + 1))) for x in left]

    assert_allclose(power_integral(np.log(left), exponent), exact, rtol=1e-13, atol=1e-15)


def test_the_area_carries_a_perturbed_exponent_at_zero():
    log_left = np.log(np.array(0.3))

    assert power_integral(log_left, 0.0 + 1j * STEP).imag / STEP == pytest.approx(0.5 * float(log_left) ** 2, rel=1e-14)


@given(st.floats(5e3, 2e5), st.floats(0.1, 4.0), st.floats(0.015, 0.08), st.floats(0.02, 1.4))
def test_hardening_rubber_has_exact_derivatives(first: float, hardening: float, solid: float, share: float):
    law = hardening_stop(first, hardening, solid)

    check_derivatives(law, [share * solid], rtol=2e-10)


@pytest.mark.parametrize("hardening", [0.5, 1.0, 1.5, 2.0, 3.0])
def test_energy_of_hardening_rubber_is_the_area_under_its_force(hardening: float):
    law = hardening_stop(20e3, hardening, 0.042)

    check_energy_is_the_area(law, 0.0, float(law.end))
    check_energy_is_the_area(law, float(law.end), 0.055)


def test_hardening_rubber_by_hand():
    law = hardening_stop(20e3, 1.0, 0.040)
    turn = 0.040 * (1 - np.sqrt(0.02))  # k / (1 - s)² = 1e6

    assert float(law.end) == pytest.approx(turn, rel=1e-12)
    assert_allclose(law.force(np.array([-0.01, 0.0, 0.02])), [0, 0, 800], rtol=1e-12)
    assert_allclose(law.stiffness(np.array([-0.01, 0.02, turn + 0.01])), [0, 80e3, 1e6], rtol=1e-12)
    # V = k H² (-ln(1 - s) - s) for n = 1
    assert float(law.energy(np.array(0.02))) == pytest.approx(20e3 * 0.04**2 * (np.log(2) - 0.5), rel=1e-12)


@given(st.floats(1e3, 2e5), st.floats(0.05, 10.0), st.floats(1.5, 500.0))
def test_the_straight_end_begins_where_the_rubber_is_as_steep(first: float, hardening: float, steeper: float):
    law = hardening_stop(first, hardening, 0.04, first * steeper)
    end = np.asarray(law.end)

    assert 0 < float(end) < 0.04
    assert float(law.law.stiffness(end)) == pytest.approx(first * steeper, rel=1e-9)


def test_shapes_carry_variants_and_perturbations():
    first, solid = np.array([10e3, 20e3]), np.array([0.03, 0.04])
    together, x = hardening_stop(first, 1.5, solid), 0.025
    alone = [hardening_stop(float(k), 1.5, float(h)) for k, h in zip(first, solid, strict=True)]

    assert_allclose(together.force(np.full(2, x)), [float(law.force(np.array(x))) for law in alone], rtol=1e-13)
    for place in (0.02, 0.05):  # within the rubber and beyond its straight end
        for name, values in (("first_rate", (20e3, 1.3, 0.04)), ("hardening", (20e3, 1.3, 0.04))):
            index, size = ("first_rate", "hardening").index(name), (1.0, 1e-5)[("first_rate", "hardening").index(name)]
            moved = [[*values], [*values], [*values]]
            moved[0][index] += 1j * STEP
            moved[1][index] += size
            moved[2][index] -= size
            exact, high, low = (hardening_stop(*v).force(np.array(place)) for v in moved)
            assert float(exact.imag) / STEP == pytest.approx(float(high - low) / (2 * size), rel=1e-5)


@given(st.floats(1e3, 5e4), st.floats(1e3, 5e5), st.floats(0.005, 0.05), st.floats(0.05, 2.0), st.floats(0.01, 3.0))
def test_two_stages_have_exact_derivatives(soft: float, hard: float, where: float, blend: float, share: float):
    law = TwoStageRubber(soft, hard, where, blend * where)

    check_derivatives(law, [share * where], rtol=1e-11)


def test_two_stages_far_from_the_change_are_two_straight_lines():
    law = TwoStageRubber(10e3, 110e3, 0.020, 0.010)

    assert_allclose(law.force(np.array([0.010, 0.040])), [100, 200 + 110e3 * 0.020], rtol=1e-12)
    assert_allclose(law.stiffness(np.array([-0.001, 0.010, 0.020, 0.030])), [0, 10e3, 60e3, 110e3], rtol=1e-12)
    check_energy_is_the_area(law, 0.0, 0.06)


def test_solid_contact_stands_beside_the_rubber():
    rubber = BumpStop(np.array([0.01, 0.03]), np.array([200.0, 1500.0]))
    law, x = with_solid(rubber, 0.03), np.array([0.02, 0.03, 0.032])

    assert_allclose(law.force(x) - rubber.force(x), [0, 0, 2000], atol=1e-6)
    check_derivatives(law, [0.005, 0.02, 0.04])


def test_straight_on_is_smooth():
    rubber = HardeningRubber(20e3, 1.0, 0.04)
    law, h = LinearExtrapolation(rubber, 0.03), 1e-9

    for function, slope in ((law.energy, law.force), (law.force, law.stiffness)):
        jump = float(function(np.array(0.03 + h)) - function(np.array(0.03 - h)))
        assert jump == pytest.approx(2 * h * float(slope(np.array(0.03))), rel=1e-5)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: hardening_stop(1.0, 1.0, 0.04), r"first rate.*N/mm"),
        (lambda: hardening_stop(20e3, 0.0, 0.04), "hardening of the bump stop"),
        (lambda: hardening_stop(20e3, 1.0, 0.0), "solid compression"),
        (lambda: hardening_stop(2e6, 1.0, 0.04), r"not harder solid.*found 1000 N/mm.*more than.*2000"),
        (lambda: TwoStageRubber(1e4, 1e5, 0.01, 0.03), "begins before touch"),
        (lambda: TwoStageRubber(1e4, np.nan, 0.01, 0.01), "hard rate"),
        (lambda: with_solid(HardeningRubber(1e4, 1.0, 0.04), 0.03, 1.0), "solid rate"),
    ],
)
def test_what_no_rubber_has_is_refused(made, words):
    with pytest.raises(InputError, match=words):
        made()


def test_rows_that_hardly_rise_are_still_a_curve():
    """Found by chance: the inverse of so small a slope overflowed with a warning."""
    stop = BumpStop(np.array([0.0, 0.01, 0.02, 0.03]), np.array([0.0, 1e-310, 2e-310, 500.0]))

    assert_allclose(stop.force(np.array([0.01, 0.03])), [0, 500], atol=1e-300)
