"""Closed forms of springs and bars beside a slower, plainer way to the same number."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from jounce.elements.bars.anti_roll_bar import StraightArmBar
from jounce.elements.springs.coil_spring import CoilSpring
from jounce.elements.springs.coil_stack import Stack
from jounce.numerics.arrays import Array
from tests.reference.quarter_car import undamped_modes


def _frame_element(start: Array, end: Array, bar: StraightArmBar) -> Array:
    """Stiffness of a slender round beam in space, twelve freedoms, in global axes."""
    length = float(np.linalg.norm(end - start))
    second_moment = np.pi * (bar.diameter**4 - bar.inner_diameter**4) / 64
    area = np.pi * (bar.diameter**2 - bar.inner_diameter**2) / 4
    young, shear = bar.youngs_modulus, float(bar.shear_modulus)
    bend = young * second_moment / length**3 * np.array([12, 6 * length, 4 * length**2, 2 * length**2])
    k = np.zeros((12, 12))
    for axial, stiffness in ((0, young * area / length), (3, shear * 2 * second_moment / length)):
        k[np.ix_([axial, axial + 6], [axial, axial + 6])] = stiffness * np.array([[1, -1], [-1, 1]])
    for across, turn, sign in ((1, 5, 1.0), (2, 4, -1.0)):
        a, b, c, d = bend[0], sign * bend[1], bend[2], bend[3]
        rows = [across, turn, across + 6, turn + 6]
        k[np.ix_(rows, rows)] = [[a, b, -a, b], [b, c, -b, d], [-a, -b, a, -b], [b, d, -b, c]]
    x = (end - start) / length
    helper = np.array([0.0, 0, 1]) if abs(x[2]) < 0.9 else np.array([1.0, 0, 0])
    y = np.cross(helper, x) / np.linalg.norm(np.cross(helper, x))
    turned = np.kron(np.eye(4), np.stack([x, y, np.cross(x, y)]))
    return turned.T @ k @ turned


def _space_frame_end_compliance(bar: StraightArmBar) -> float:
    """End, bend, bush, middle and their mirror images; bushes hold x and z, the ends are loaded against each other."""
    half = float(bar.span) / 2
    bend = half - bar.arm_across
    nodes = np.array(
        [
            [bar.lever, half, 0],
            [0, bend, 0],
            [0, bar.bush_to_middle, 0],
            [0, 0, 0],
            [0, -bar.bush_to_middle, 0],
            [0, -bend, 0],
            [bar.lever, -half, 0],
        ]
    )
    k = np.zeros((42, 42))
    for i in range(6):
        freedoms = np.arange(6 * i, 6 * i + 12)
        k[np.ix_(freedoms, freedoms)] += _frame_element(nodes[i], nodes[i + 1], bar)
    held = [12, 14, 24, 26, 19, 22]  # x and z at both bushes; in the middle y, and the turn of the whole bar in them
    free = np.setdiff1d(np.arange(42), held)
    load = np.zeros(42)
    load[[2, 38]] = 1.0, -1.0
    moved = np.zeros(42)
    moved[free] = np.linalg.solve(k[np.ix_(free, free)], load[free])
    assert moved[2] == pytest.approx(-moved[38], rel=1e-6)
    return float(moved[2])


@settings(max_examples=40)
@given(
    st.floats(0.012, 0.032),
    st.floats(0.1, 0.4),
    st.floats(-0.04, 0.15),
    st.floats(0.041, 0.15),
    st.floats(0.2, 0.6),
    st.floats(0.0, 0.8),
    st.floats(0.25, 0.33),
)
def test_straight_arm_bar_against_a_space_frame(diameter, lever, across, to_bush, to_middle, bore, poisson):
    bar = StraightArmBar(diameter, lever, across, to_bush, to_middle, bore * diameter, poisson=poisson)

    assert bar.end_compliance == pytest.approx(_space_frame_end_compliance(bar), rel=1e-10)


def test_energy_of_a_twisted_bar_is_that_of_its_two_ends():
    """Ends moved by δ against each other twist the arms by 2 δ / lever and store end_rate δ² together."""
    bar = StraightArmBar(0.020, 0.250, 0.080, 0.060, 0.400)
    movement = 0.012
    angle = 2 * movement / 0.250

    assert 0.5 * bar.twist_rate * angle**2 == pytest.approx(bar.end_rate * movement**2, rel=1e-14)


def test_roll_moment_of_a_bar_is_the_couple_of_its_end_forces():
    bar = StraightArmBar(0.020, 0.250, 0.080, 0.060, 0.400)
    roll = 0.01
    end_force = bar.end_rate * roll * bar.span / 2

    assert bar.roll_stiffness * roll == pytest.approx(end_force * bar.span, rel=1e-14)


def test_peak_stress_of_a_bar_along_its_line():
    """Moments section by section, from the end to the middle, never exceed the closed form, and reach it."""
    for across in (-0.03, 0.0, 0.08):
        bar = StraightArmBar(0.020, 0.150, across, 0.060, 0.400, inner_diameter=0.012)
        force, section = 1500.0, np.pi * (0.020**4 - 0.012**4) / 32 / 0.020
        arm = force * np.linspace(0, float(bar.arm_length), 2001) / section
        y = np.linspace(0, 0.060 + 0.400, 46001)
        overhang = across + 0.060
        moment = np.where(y <= 0.060, across + y, overhang * (0.460 - y) / 0.400)
        shaft = np.hypot(force * moment / section, np.sqrt(3) * force * 0.150 / (2 * section))

        assert bar.peak_von_mises_stress(force) == pytest.approx(max(arm.max(), np.abs(shaft).max()), rel=1e-9)


def _stack_length_loss(springs: list[tuple[float, float]], force: float) -> float:
    return sum(min(force / rate, travel) for rate, travel in springs)


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.floats(1e3, 2e5), st.floats(0.005, 0.2)), min_size=1, max_size=4),
    st.floats(0.05, 0.95),
)
def test_stack_against_a_search_for_the_common_force(springs, share):
    """Each spring gives min(F/k, travel); the force that fits a compression is searched for, spring by spring."""
    strongest = max(rate * travel for rate, travel in springs)
    compression = share * _stack_length_loss(springs, strongest)
    stack = Stack(tuple(CoilSpring(rate, 0.3, 0.3 - travel) for rate, travel in springs))
    travels = [spring.travel for spring in stack.springs]
    searched = [(rate, float(travel)) for (rate, _), travel in zip(springs, travels, strict=True)]
    force = brentq(lambda f: _stack_length_loss(searched, f) - compression, 0, strongest, xtol=1e-12, rtol=1e-15)
    stored = sum(0.5 * rate * min(force / rate, travel) ** 2 for rate, travel in searched)

    assert stack.law.force(np.array(compression)) == pytest.approx(force, rel=1e-9)
    assert stack.law.energy(np.array(compression)) == pytest.approx(stored, rel=1e-9)
    assert stack.compressions(force).sum() == pytest.approx(compression, rel=1e-9)


@given(st.floats(100, 500), st.floats(15, 60), st.floats(5e3, 6e4), st.floats(1e5, 3e5))
def test_quarter_car_against_its_characteristic_equation(sprung, unsprung, spring, tyre):
    square = undamped_modes(sprung, unsprung, spring, tyre).angular_frequency ** 2
    roots = np.roots([sprung * unsprung, -(sprung * (spring + tyre) + unsprung * spring), spring * tyre])

    assert square == pytest.approx(np.sort(roots), rel=1e-10)


@given(st.floats(100, 500), st.floats(15, 60), st.floats(5e3, 6e4), st.floats(1e5, 3e5))
def test_quarter_car_modes_satisfy_both_masses(sprung, unsprung, spring, tyre):
    modes = undamped_modes(sprung, unsprung, spring, tyre)
    for frequency, wheel in zip(modes.angular_frequency, modes.wheel_per_body, strict=True):
        body_force = spring * (wheel - 1) + sprung * frequency**2
        wheel_force = spring - (spring + tyre) * wheel + unsprung * frequency**2 * wheel
        size = (spring + tyre) * max(1.0, abs(wheel))

        assert body_force == pytest.approx(0, abs=1e-11 * size)
        assert wheel_force == pytest.approx(0, abs=1e-11 * size)
