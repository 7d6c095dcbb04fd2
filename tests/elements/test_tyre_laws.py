"""Tyres: vertical laws that rise with the load, pressure, the shared slip of an axle, the peak of the magic formula."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from jounce.conventions.errors import InputError
from jounce.elements.law import OneSided
from jounce.elements.springs.progressive import SpringCurve
from jounce.elements.springs.rising_rate import RisingRate
from jounce.elements.tyres.shared_slip import shared_slip
from jounce.elements.tyres.tyre import MeasuredTyre, Tyre, pressure_factor
from jounce.elements.tyres.tyre_lateral import EXAMPLE_1987, EXAMPLE_TYRES, MagicFormula1987
from tests.elements.law_checks import STEP, check_derivatives, check_energy_is_the_area


@given(st.floats(5e4, 4e5), st.floats(0.0, 60.0), st.floats(0.02, 3.0))
def test_a_rising_tyre_has_exact_derivatives(rate: float, per_load: float, share: float):
    law = RisingRate(rate, per_load, start=-0.01)
    place = -0.01 + share * 0.02

    check_derivatives(law, [place], rtol=1e-11)
    force = law.force(np.array(place))
    assert float(law.displacement_at(force)) == pytest.approx(place, abs=1e-14)
    assert float(law.stiffness(np.array(place))) == pytest.approx(rate + per_load * float(force), rel=1e-12)


@pytest.mark.parametrize("per_load", [0.0, 1e-8, 1.0, 20.0, 60.0])
def test_energy_of_a_rising_tyre_is_the_area(per_load: float):
    check_energy_is_the_area(RisingRate(150e3, per_load), 0.0, 0.04, rtol=1e-12)


def test_a_rising_tyre_stands_under_its_load_and_lifts_off():
    tyre = Tyre(180e3, per_load=15.0, load=2700.0)
    law, load = tyre.law_about(2700.0), np.array([0.0, 1000.0, 2700.0, 5000.0])

    assert float(law.force(np.array(0.0))) == pytest.approx(2700.0, rel=1e-14)
    assert float(law.stiffness(np.array(0.0))) == pytest.approx(180e3, rel=1e-13)
    assert_allclose(law.force(np.array([-float(tyre.deflection(2700.0)), -0.05])), 0, atol=1e-9)
    assert_allclose(tyre.law.force(tyre.deflection(load)), load, rtol=1e-13, atol=1e-9)
    assert_allclose(tyre.stiffness(load), 180e3 + 15 * (load - 2700))


def test_a_tyre_of_one_rate_is_a_one_sided_spring_as_ever():
    law = Tyre(180e3).law_about(2700.0)

    assert isinstance(law, OneSided)
    assert (float(law.start), law.rate) == (-0.015, 180e3)


def test_a_measured_tyre_passes_through_its_rows_at_any_pressure():
    curve = SpringCurve(np.array([0.01, 0.02, 0.03]), np.array([1500.0, 3300.0, 5400.0]))
    tyre, softer = MeasuredTyre(curve), MeasuredTyre(curve, scale=0.9)

    assert_allclose(tyre.deflection(np.array([1500.0, 5400.0])), [0.01, 0.03], rtol=1e-12)
    assert_allclose(softer.deflection(np.array([1350.0])), [0.01], rtol=1e-12)
    for one in (tyre, softer):
        law = one.law_about(2500.0)
        assert float(law.force(np.array(0.0))) == pytest.approx(2500.0, rel=1e-12)
        assert float(law.stiffness(np.array(0.0))) == pytest.approx(float(one.stiffness(2500.0)), rel=1e-12)
        check_derivatives(law, [-0.008, 0.003, 0.02])


def test_tyres_carry_variants_and_give_the_first_of_them():
    rate = np.array([150e3, 180e3])
    tyre = Tyre(rate, 10.0, np.array([2500.0, 2600.0]))

    assert_allclose(tyre.law_about(np.array([2500.0, 2600.0])).stiffness(np.zeros(2)), rate, rtol=1e-13)
    assert tyre.first() == Tyre(150e3, 10.0, 2500.0)
    exact = Tyre(150e3 + 1j * STEP, 10.0, 2500.0).deflection(4000.0).imag / STEP
    plain = float(Tyre(150e3 + 10, 10.0, 2500.0).deflection(4000.0) - Tyre(150e3 - 10, 10.0, 2500.0).deflection(4000.0))
    assert float(exact) == pytest.approx(plain / 20, rel=1e-6)


def test_pressure_moves_its_share_of_the_rate():
    assert_allclose(pressure_factor(np.array([1.8e5, 2.0e5, 2.4e5]), 2.0e5), [0.93, 1.0, 1.14])
    assert float(pressure_factor(2.4e5, 2.0e5, 1.0)) == pytest.approx(1.2)
    with pytest.raises(InputError, match="tyre pressure"):
        pressure_factor(32.0, 2.2e5)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: Tyre(150e3, per_load=-1.0), "rise of the tyre's stiffness"),
        (lambda: Tyre(20e3, per_load=20.0, load=2000.0).law, "above zero without load"),
        (lambda: Tyre(np.nan), "vertical stiffness"),
        (lambda: MagicFormula1987((1011, -22.1, 1078, 1.82, 0.208, 0, -0.354, 0.707)), "rises to a peak"),
        (lambda: MagicFormula1987((-22.1, 1011, 1078, 1.82, 0.208, 0, 0.354, 0.707)), "E up to 1"),
        (lambda: MagicFormula1987(EXAMPLE_1987.coefficients, shape=2.4), "shape factor C"),
    ],
)
def test_what_no_tyre_has_is_refused(made, words):
    with pytest.raises(InputError, match=words):
        made()


@pytest.mark.parametrize("name", EXAMPLE_TYRES)
def test_the_peak_is_where_the_slope_ends_and_nothing_is_higher(name: str):
    tyre, load = EXAMPLE_TYRES[name], np.array([500.0, 2000.0, 4000.0, 7000.0])
    peak = tyre.peak_slip(load)

    assert_allclose(tyre.stiffness(load, peak) / tyre.stiffness(load, np.zeros(4)), 0, atol=1e-12)
    assert_allclose(tyre.force(load, peak), tyre.peak(load), rtol=1e-12)
    assert np.all(tyre.force(load[:, None], np.linspace(0.01, 1.0, 300)) <= tyre.peak(load)[:, None] * (1 + 1e-12))


@pytest.mark.parametrize("name", EXAMPLE_TYRES)
def test_lateral_force_is_odd_and_load_sensitive(name: str):
    tyre, load = EXAMPLE_TYRES[name], np.linspace(500, 8000, 20)

    assert_allclose(tyre.force(load, np.full(20, -0.05)), -tyre.force(load, np.full(20, 0.05)), rtol=1e-14)
    assert np.all(np.diff(tyre.peak(load) / load) < 0)
    assert tyre.known(np.array([100.0, 8000.0, 8001.0])).tolist() == [True, True, False]


loads = st.floats(0.0, 8000.0)


@given(loads, loads, st.floats(-1.3, 1.3), st.sampled_from(sorted(EXAMPLE_TYRES)))
def test_shared_slip_gives_the_demand_or_says_that_it_cannot(left: float, right: float, share: float, name: str):
    tyre, load = EXAMPLE_TYRES[name], np.array([[left, right]])
    some = shared_slip(tyre, load, np.zeros(1))
    demand = share * some.most
    found = shared_slip(tyre, load, demand)

    assert found.reached[0] == (abs(share) <= 1 or some.most[0] == 0)
    given_force = found.force.sum(axis=1)
    expected = demand if found.reached[0] else np.sign(share) * found.most
    assert_allclose(given_force, expected, rtol=1e-10, atol=1e-7)
    assert_allclose(found.force[0], tyre.force(load[0], np.full(2, found.slip[0])), rtol=1e-12, atol=1e-9)


def test_the_axle_s_most_is_that_of_a_fine_search():
    load = np.array([[1000.0, 7000.0], [4000.0, 4000.0], [0.0, 5000.0], [0.0, 0.0]])
    slip = np.linspace(0, 0.6, 20_001)
    for tyre in EXAMPLE_TYRES.values():
        best = tyre.force(load[..., None], slip).sum(axis=1).max(axis=1)
        assert_allclose(shared_slip(tyre, load, np.zeros(4)).most, best, rtol=1e-7, atol=1e-9)


def test_shared_slip_carries_a_perturbation():
    load, demand, h = np.array([[2000.0, 5000.0]]), np.array([3000.0]), 1e-2
    exact = shared_slip(EXAMPLE_1987, load + np.array([[0, 1j * STEP]]), demand).force.imag / STEP
    high, low = (shared_slip(EXAMPLE_1987, load + np.array([[0, d]]), demand).force for d in (h, -h))

    assert_allclose(exact, (high - low) / (2 * h), rtol=1e-6)
    assert_allclose(exact.sum(), 0, atol=1e-12)
