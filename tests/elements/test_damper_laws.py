"""Dampers: curves that never drive, knees, clicks, gas, hard ends, and what a swing loses."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from jounce.conventions.errors import InputError
from jounce.elements.dampers.damper_clicks import Clicks
from jounce.elements.dampers.damper_energy import cycle_energy, equal_damping, mean_power
from jounce.elements.dampers.damper_knee import Knee, knee_curve
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.elements.dampers.gas import ATMOSPHERE, GasColumn, check_gas_room, gas_spring
from tests.elements.law_checks import check_derivatives, check_energy_is_the_area


def _curves():
    def build(steps, bump, rebound):
        size = min(len(steps), len(bump), len(rebound))
        return ForceVelocity(np.cumsum(steps[:size]), np.array(bump[:size]), np.array(rebound[:size]))

    forces = st.lists(st.floats(0.0, 3e3), min_size=5, max_size=5)
    return st.builds(build, st.lists(st.floats(0.01, 0.5), min_size=1, max_size=5), forces, forces)


@given(_curves(), st.floats(-8, 8))
def test_a_damper_never_drives(curve: ForceVelocity, speed: float):
    assert float(curve.force(speed)) * speed >= 0


@given(_curves(), st.floats(0, 1), st.integers(0, 5), st.sampled_from([1.0, -1.0]))
def test_damping_is_the_slope_of_the_force(curve: ForceVelocity, share: float, piece: int, sense: float):
    edges = [*curve.speed, curve.known_to + 1.0]
    low, high = edges[piece % (len(edges) - 1)], edges[piece % (len(edges) - 1) + 1]
    speed, h = sense * (low + (0.2 + 0.6 * share) * (high - low)), 0.1 * (high - low)
    rise = float(curve.force(speed + h) - curve.force(speed - h)) / (2 * h)

    largest = float(np.max([curve.bump_force, curve.rebound_force])) + 1.0
    assert float(curve.damping(speed)) == pytest.approx(rise, rel=1e-9, abs=1e-11 * largest / h)


def test_a_curve_that_falls_at_its_end_stays_level_beyond():
    curve = ForceVelocity(np.array([0.1, 0.2]), np.array([300.0, 100.0]), np.array([300.0, 400.0]))

    assert_allclose(curve.force(np.array([0.2, 0.5, 5.0, -0.3])), [100, 100, 100, -500])
    assert_allclose(curve.damping(np.array([0.15, 0.5, -0.3])), [-2000, 0, 1000])
    assert curve.known(np.array([-0.2, 0.2, 0.21])).tolist() == [True, True, False]
    assert curve.known_to == 0.2


def test_knees_are_their_own_rows():
    bump, rebound = Knee(1200, 0.1, 400), Knee(3000, 0.15, 900)
    curve, speed = knee_curve(bump, rebound), np.linspace(0.001, 3.0, 500)

    assert_allclose(curve.force(speed), bump.force(speed), rtol=1e-12)
    assert_allclose(curve.force(-speed), -rebound.force(speed), rtol=1e-12)
    assert curve.known_to == 1.05


SOFT = ForceVelocity(np.array([0.1, 0.3]), np.array([100.0, 200.0]), np.array([200.0, 400.0]))
FIRM = ForceVelocity(np.array([0.1, 0.2, 0.5]), np.array([200.0, 320.0, 700.0]), np.array([400.0, 700.0, 1400.0]))


def test_clicks_are_the_measured_curves_and_straight_lines_between_them():
    clicks, speed = Clicks((0.0, 4.0), (FIRM, SOFT)), np.linspace(-0.3, 0.3, 61)

    assert_allclose(clicks.at(0).force(speed), FIRM.force(speed), rtol=1e-12, atol=1e-9)
    assert_allclose(clicks.at(4).force(speed), SOFT.force(speed), rtol=1e-12, atol=1e-9)
    assert_allclose(
        clicks.at(3).force(speed), 0.25 * FIRM.force(speed) + 0.75 * SOFT.force(speed), rtol=1e-12, atol=1e-9
    )
    assert clicks.at(3).known_to == clicks.known_to == 0.3  # the soft setting was tested no further


def test_two_adjusters_take_each_direction_from_its_own_setting():
    curve = Clicks((0.0, 4.0), (FIRM, SOFT)).at(4, rebound_setting=0)

    assert_allclose(curve.force(np.array([0.3, -0.3])), [SOFT.force(0.3), FIRM.force(-0.3)])


@pytest.mark.parametrize("setting", [-1, 4.5, np.nan])
def test_no_click_beyond_those_measured(setting: float):
    with pytest.raises(InputError, match=r"setting of the damper.*allowed: 0 to 4 clicks"):
        Clicks((0.0, 4.0), (FIRM, SOFT)).at(setting)


def test_settings_must_rise():
    with pytest.raises(InputError, match="do not rise"):
        Clicks((4.0, 0.0), (FIRM, SOFT))


@given(_curves(), st.floats(0.001, 0.08), st.floats(0.3, 15.0))
def test_energy_of_a_cycle_by_plain_summing(curve: ForceVelocity, amplitude: float, frequency: float):
    turns = (np.arange(40_000) + 0.5) * (2 * np.pi / 40_000)
    fastest = 2 * np.pi * frequency * amplitude
    plain = float(np.mean(curve.force(fastest * np.sin(turns)) * np.sin(turns))) * 2 * np.pi * amplitude

    energy = float(cycle_energy(curve, amplitude, frequency))
    assert energy == pytest.approx(plain, rel=1e-5, abs=1e-7)
    assert energy >= 0
    assert float(mean_power(curve, amplitude, frequency)) == pytest.approx(energy * frequency, rel=1e-14)
    assert float(equal_damping(curve, fastest)) * np.pi * fastest * amplitude == pytest.approx(
        energy, rel=1e-12, abs=1e-12
    )


def test_a_straight_damper_takes_what_the_textbook_says():
    """``π c ω a²`` per cycle."""
    straight = ForceVelocity(np.array([0.5]), np.array([900.0]), np.array([900.0]))
    amplitude, frequency = np.array([0.01, 0.04]), np.array([1.0, 12.0])  # the second far beyond the row

    expected = np.pi * 1800 * 2 * np.pi * frequency * amplitude**2
    assert_allclose(cycle_energy(straight, amplitude, frequency), expected, rtol=1e-13)
    assert float(cycle_energy(straight, 0.0, 1.0)) == 0


def test_gas_by_hand():
    """150 N on an 11 mm rod, 60 cm³: the gas pushes with p A, the air outside with p_a A."""
    area = np.pi / 4 * 0.011**2
    gas = GasColumn(150.0, 60e-6, area)
    x, left = np.array([-0.05, 0.0, 0.10]), 1 - np.array([-0.05, 0.0, 0.10]) * area / 60e-6

    assert_allclose(gas.force(x), (150 + ATMOSPHERE * area) / left - ATMOSPHERE * area, rtol=1e-14)


@pytest.mark.parametrize("exponent", [1.0, 1.2, 1.4])
def test_gas_has_exact_derivatives_and_goes_straight_on(exponent: float):
    law = gas_spring(150.0, 60e-6, 0.011, exponent)
    end = float(law.end)

    check_derivatives(law, [-0.1, -0.01, 0.02, 0.1, 0.9 * end, 1.2 * end], rtol=1e-11)
    check_energy_is_the_area(law, -0.1, 0.15)
    assert float(law.law.stiffness(np.array(0.0))) == pytest.approx(
        exponent * (150 + ATMOSPHERE * np.pi / 4 * 0.011**2) * (np.pi / 4 * 0.011**2) / 60e-6, rel=1e-13
    )


def test_gas_of_endless_volume_is_a_constant_force():
    endless = gas_spring(120.0, 5e-3, 0.005)
    x = np.linspace(-0.1, 0.1, 9)

    assert_allclose(endless.force(x), 120.0, rtol=2e-3)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: Knee(0.0, 0.1, 100), "slope of the damper below its knee"),
        (lambda: Knee(1000, 0.0, 100), "knee speed"),
        (lambda: knee_curve(Knee(1000, 0.2, 100), Knee(1000, 0.1, 100), 0.15), "cannot lie below a knee"),
        (lambda: gas_spring(-1.0, 60e-6, 0.011), "gas force"),
        (lambda: gas_spring(100.0, 60.0, 0.011), r"gas volume.*cm³"),
        (lambda: gas_spring(100.0, 60e-6, 11.0), r"rod diameter.*mm"),
        (lambda: gas_spring(100.0, 60e-6, 0.011, 0.5), "polytropic exponent"),
        (lambda: check_gas_room(10e-6, 0.012, 0.1), r"more room than.*11.3.* cm³ of rod"),
    ],
)
def test_what_no_damper_has_is_refused(made, words):
    with pytest.raises(InputError, match=words):
        made()
