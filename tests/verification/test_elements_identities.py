"""Exact identities in closed form: no outside number, so they prove arithmetic and definitions only."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.conventions.errors import Impossible
from jounce.conventions.units import DEG, MM, MPA
from jounce.elements.bars.torsion_bar import TorsionBar, effective_length, series_rate
from jounce.elements.dampers.force_velocity import ForceVelocity
from tests.reference.panhard_rod import lateral_shift


def test_twist_at_the_design_stresses():
    """``2 tau L / (G d)`` for 21.5 x 1050 mm, G = 78.5 GPa."""
    bar = TorsionBar(21.5 * MM, 1050 * MM, 78.5e9)

    assert bar.twist_at_stress(np.array([700, 1020]) * MPA) / DEG == pytest.approx([49.904, 72.717], abs=5e-4)


@given(st.floats(0.01, 0.05), st.floats(0.3, 2.0), st.floats(0, 0.9), st.floats(1e8, 1.2e9))
def test_twist_torque_and_stress_of_a_bar_agree(diameter, length, bore, stress):
    bar = TorsionBar(diameter, length, 78.5e9, inner_diameter=bore * diameter)
    torque = bar.torque_at_stress(stress)

    assert bar.shear_stress(torque) == pytest.approx(stress, rel=1e-13)
    assert bar.twist_at_stress(stress) * bar.rate == pytest.approx(torque, rel=1e-13)


def test_energy_of_a_bar_by_volume_and_stress():
    """A solid round bar stores tau² / (4 G) per volume."""
    bar = TorsionBar(0.0215, 1.05, 78.5e9)
    volume = bar.mass(1.0)

    assert bar.energy(bar.torque_at_stress(700e6)) == pytest.approx((700e6) ** 2 / (4 * 78.5e9) * volume, rel=1e-13)


def test_diameter_law():
    """15 to 19 mm multiplies the rate of a bar by 2.574 (common practice, no source)."""
    rates = TorsionBar(np.array([15, 19]) * MM, 0.8, 78.5e9).rate

    assert rates[1] / rates[0] == pytest.approx(2.574, abs=5e-4)
    assert rates[1] / rates[0] == pytest.approx((19 / 15) ** 4, rel=1e-14)


def test_bar_inside_a_beam_axle_turned_by_trailing_arms():
    """Roll phi turns the arms against each other by phi t / L_a: ``K = (G J / L) (t / L_a)²``."""
    bar = TorsionBar(20 * MM, 1000 * MM, 78.5e9)
    roll_stiffness = bar.rate * (1200 / 400) ** 2

    assert roll_stiffness == pytest.approx(11097.676, rel=1e-6)
    assert roll_stiffness * DEG == pytest.approx(193.691, rel=1e-5)  # three decimals were noted


def test_effective_length_between_its_two_ends():
    """A fillet that counts in full leaves the shank as it is; one that counts for nothing is taken off at both ends."""
    sizes = {"shank_length": 1.05, "bar_diameter": 0.020, "head_diameter": 0.028, "fillet_radius": 0.010}

    assert effective_length(**sizes, fillet_share=1.0) == pytest.approx(1.05, rel=1e-15)
    assert effective_length(**sizes, fillet_share=0.0) == pytest.approx(1.05 - 2 * 0.008, rel=1e-14)  # 6-8-10 triangle


def test_halves_of_a_bar_in_series_are_the_bar():
    whole, half = (TorsionBar(0.0215, length, 78.5e9).rate for length in (1.0, 0.5))

    assert series_rate(half, half) == pytest.approx(whole, rel=1e-14)
    assert series_rate(whole, np.inf) == pytest.approx(whole, rel=1e-15)
    assert series_rate(whole, 0.0) == 0.0


HEIGHTS = np.array([25, 50, 75, 100])
SHIFTS = {
    700: [0.446571, 1.787998, 4.029455, 7.179677],
    900: [0.347289, 1.389962, 3.130444, 5.572809],
    1000: [0.312549, 1.250782, 2.816466, 5.012563],
    1200: [0.260445, 1.042119, 2.346043, 4.173926],
}


@pytest.mark.parametrize("length", SHIFTS)
def test_sideways_shift_of_a_level_panhard_rod(length: int):
    assert lateral_shift(length * MM, 0.0, HEIGHTS * MM) / MM == pytest.approx(SHIFTS[length], abs=1e-5)


def test_sideways_shift_of_a_sloping_panhard_rod():
    travel = np.array([-60, -40, -20, 20, 40, 60]) * MM
    expected = [0, -0.444582, -0.444582, 0.889823, 2.226213, 4.011168]

    assert lateral_shift(900 * MM, 30 * MM, travel) / MM == pytest.approx(expected, abs=1e-5)


@given(st.floats(0.4, 1.5), st.floats(-0.19, 0.19), st.floats(-0.19, 0.19))
def test_a_panhard_rod_keeps_its_length(length, before, travel):
    span = np.sqrt(length**2 - before**2) - lateral_shift(length, before, travel)

    assert np.hypot(span, before + travel) == pytest.approx(length, rel=1e-14)


def test_small_shift_of_a_level_rod_is_not_lost_in_rounding():
    """``z² / (2 L)`` for a movement of a micrometre: the difference of the two roots would have lost it."""
    assert lateral_shift(0.9, 0.0, 1e-6) == pytest.approx(1e-12 / 1.8, rel=1e-11)


def test_a_rod_that_does_not_reach_is_told_in_plain_words():
    with pytest.raises(Impossible, match="A rod of 300 mm does not span a height of 320 mm"):
        lateral_shift(0.300, 0.020, np.array([0.0, 0.300]))


def test_an_upright_rod_that_stays_upright_does_not_shift():
    assert lateral_shift(0.300, 0.300, 0.0) == 0.0


@given(
    st.lists(st.tuples(st.floats(0.01, 0.5), st.floats(0, 900), st.floats(0, 2e3)), min_size=1, max_size=6),
    st.floats(-2, 2),
)
def test_a_damper_never_gives_energy_and_passes_through_its_rows(rows, speed):
    steps, bump, rebound = (np.array(column) for column in zip(*rows, strict=True))
    speeds, bump, rebound = np.cumsum(steps), np.cumsum(bump), np.cumsum(rebound)
    curve = ForceVelocity(speeds, bump, rebound)

    assert curve.force(speed) * speed >= 0
    np.testing.assert_allclose(curve.force(speeds), bump, rtol=1e-12)
    np.testing.assert_allclose(curve.force(-speeds), -rebound, rtol=1e-12)


@given(st.floats(-2, 2).filter(lambda v: min(abs(abs(v) - knot) for knot in (0, 0.1, 0.3, 1.0)) > 1e-3))
def test_damping_is_the_slope_of_the_force(speed):
    curve = ForceVelocity(np.array([0.1, 0.3, 1.0]), np.array([150, 350, 600]), np.array([300, 900, 1500]))
    step = 5e-4
    slope = (curve.force(speed + step) - curve.force(speed - step)) / (2 * step)

    assert curve.damping(speed) == pytest.approx(slope, rel=1e-9)
