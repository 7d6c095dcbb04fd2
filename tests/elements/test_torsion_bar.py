"""Torsion bars with what gives behind them, under a lever, and with their heads: proved by nature and a second method."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad

from jounce.conventions.errors import InputError
from jounce.conventions.units import DEG, MM, MPA
from jounce.elements.bars.bar_in_series import BarInSeries
from jounce.elements.bars.levered_bar import LeveredBar, levered_under_load, torsional_rate_at_lever
from jounce.elements.bars.materials import SPRING_STEELS, STEEL_OF_WORD, SteelWord, static_shear_limit
from jounce.elements.bars.torsion_bar import TorsionBar, diameter_for_rate, effective_length, fillet_share_by_torsion
from jounce.elements.law import ElementLaw
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

BAR = TorsionBar(21.5 * MM, 1050 * MM, 78.5e9)
TUBE = TorsionBar(45 * MM, 600 * MM, 78.5e9, inner_diameter=39 * MM)
WHOLE = BarInSeries(BAR, {"tube": TUBE.rate, "anchor": 60e3, "lever": 90e3})


def slope(function: Callable[[Array], Array], x: Array) -> Array:
    """Derivative by an imaginary step: exact to rounding."""
    return np.asarray(np.imag(function(x + 1j * STEP)) / STEP)


def consistent(law: ElementLaw, places: Array) -> None:
    """Force is the slope of the energy, stiffness the slope of the force."""
    np.testing.assert_allclose(law.force(places), slope(law.energy, places), rtol=1e-13, atol=1e-12)
    np.testing.assert_allclose(law.stiffness(places), slope(law.force, places), rtol=1e-12)


@given(st.floats(100, 5000), st.floats(0.1, 0.6), st.floats(-60, 60), st.floats(-0.9, 0.9))
def test_a_levered_bar_has_one_energy(rate: float, lever: float, slack: float, share: float):
    consistent(LeveredBar(rate, lever, slack * DEG), np.array([share * lever]))


def test_a_bar_in_series_has_one_energy_and_holds_both_ways():
    consistent(WHOLE.law, np.array([-0.4, 0.0, 0.5]))


def test_every_part_has_its_share_of_the_twist():
    torque = 900.0
    twists = {"bar": torque / BAR.rate, "tube": torque / TUBE.rate, "anchor": torque / 60e3, "lever": torque / 90e3}
    whole = torque / WHOLE.rate

    assert sum(twists.values()) == pytest.approx(whole, rel=1e-14)
    assert {name: float(share * whole) for name, share in WHOLE.shares.items()} == pytest.approx(twists, rel=1e-13)


def test_stored_energy_is_that_of_the_parts():
    twist = 0.5
    parts = [(WHOLE.shares["bar"], BAR.rate), (WHOLE.shares["tube"], TUBE.rate)]
    parts += [(WHOLE.shares["anchor"], 60e3), (WHOLE.shares["lever"], 90e3)]

    assert WHOLE.law.energy(np.array(twist)) == pytest.approx(
        sum(float(0.5 * rate * (share * twist) ** 2) for share, rate in parts), rel=1e-13
    )


def test_rigid_parts_leave_the_bar_as_it_is_and_give_takes_its_stress_away():
    rigid = BarInSeries(BAR, {"anchor": np.inf})

    assert rigid.rate == pytest.approx(BAR.rate, rel=1e-15)
    assert rigid.shares["anchor"] == 0
    assert BarInSeries(BAR).rate == BAR.rate
    # At the same twist of the arm the bar itself is twisted less.
    assert WHOLE.shear_stress(0.5) == pytest.approx(BAR.shear_stress(BAR.rate * 0.5) * WHOLE.shares["bar"], rel=1e-13)
    assert WHOLE.shear_stress(WHOLE.twist_at_stress(700 * MPA)) == pytest.approx(700 * MPA, rel=1e-14)


@given(st.floats(0.010, 0.050), st.floats(0, 0.8))
def test_diameter_for_rate_is_the_way_back(diameter: float, bored: float):
    bore = bored * diameter
    rate = TorsionBar(diameter, 1.0, 78.5e9, inner_diameter=bore).rate

    assert diameter_for_rate(rate, 1.0, 78.5e9, bore) == pytest.approx(diameter, rel=1e-13)


@given(st.floats(500, 5000), st.floats(-45, 45), st.floats(500, 5000))
def test_a_loaded_lever_carries_its_load_at_its_angle(rate: float, angle: float, load: float):
    lever = 0.3
    assume(load * lever < 2.3 * rate)  # softer than that the lever without load would hang past upright
    bar = levered_under_load(rate, lever, angle * DEG, load)
    height = bar.height(angle * DEG)

    assert bar.force(height) == pytest.approx(load, rel=1e-11)
    assert torsional_rate_at_lever(bar.stiffness(height), lever, angle * DEG, load) == pytest.approx(rate, rel=1e-10)


def test_a_levered_bar_is_slack_where_it_says():
    bar = levered_under_load(1568.0, 0.3, -5 * DEG, 2500.0)

    assert bar.force(bar.height(bar.slack_angle)) == pytest.approx(0, abs=1e-9)
    assert bar.force(bar.height(bar.slack_angle) - 0.01) < 0  # a bar held at both ends pushes back


def test_the_share_of_a_fillet_is_the_integral_over_it():
    diameter, head, radius = 21.5 * MM, 30 * MM, 35 * MM
    step = (head - diameter) / 2
    length = np.sqrt(radius**2 - (radius - step) ** 2)
    for bore in (0.0, 12 * MM):

        def twisted(x: float, bore: float = bore) -> float:
            here = diameter + 2 * (radius - np.sqrt(radius**2 - x**2))
            return float((diameter**4 - bore**4) / (here**4 - bore**4))

        assert fillet_share_by_torsion(diameter, head, radius, bore) == pytest.approx(
            quad(twisted, 0, length, epsabs=1e-14)[0] / length, rel=1e-10
        )


def test_a_fillet_to_nowhere_is_shank_and_a_high_one_twists_little():
    thin, high = fillet_share_by_torsion(0.02, np.array([0.02, 0.06]), 0.02)

    assert thin == pytest.approx(1.0, rel=1e-14)
    assert 0.2 < high < 0.5


@pytest.mark.parametrize("name", ["shank_length", "bar_diameter", "head_diameter", "fillet_radius"])
def test_derivatives_pass_through_the_length(name: str):
    sizes = {"shank_length": 1.05, "bar_diameter": 0.0215, "head_diameter": 0.0275, "fillet_radius": 0.040}

    def length(value: Array) -> Array:
        given = {**sizes, name: value}
        share = fillet_share_by_torsion(given["bar_diameter"], given["head_diameter"], given["fillet_radius"])
        return effective_length(**given, fillet_share=share)

    at, step = np.array([sizes[name]]), 1e-5 * sizes[name]
    by_difference = (length(at + step) - length(at - step)) / (2 * step)

    np.testing.assert_allclose(slope(length, at), by_difference, rtol=1e-7)


def test_derivatives_pass_through_parts_in_series():
    def rate(diameter: Array) -> Array:
        return BarInSeries(TorsionBar(diameter, 1.05, 78.5e9), {"tube": TUBE.rate}).rate

    whole = BarInSeries(BAR, {"tube": TUBE.rate})

    # d⁴ in the bar, and the bar's share of the give: dk/k = 4 share dd/d
    expected = 4 * whole.shares["bar"] * whole.rate / BAR.diameter
    assert slope(rate, np.array([BAR.diameter])) == pytest.approx(float(expected), rel=1e-12)


def test_steels_by_word_are_those_of_the_table():
    assert set(STEEL_OF_WORD) == set(SteelWord.__args__)
    assert len(STEEL_OF_WORD) == len(SPRING_STEELS)


def test_no_limit_is_borrowed_from_another_steel():
    assert static_shear_limit(STEEL_OF_WORD["music-wire"], preset=False) is None
    assert static_shear_limit(STEEL_OF_WORD["chrome-vanadium"], preset=True) is None


@pytest.mark.parametrize("angle", [88, -90])
def test_an_upright_lever_is_refused(angle: float):
    with pytest.raises(InputError, match=r"lever angle is out of range.*-85 to 85 deg"):
        levered_under_load(1500.0, 0.3, angle * DEG, 2000.0)
