"""Buckling, surge, mass and ends of a coil spring, beside second ways to the same."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jounce.conventions.errors import InputError
from jounce.elements.springs.coil import Ends, Winding, active_turns, coil_mass, helical_rate, least_gaps, solid_length
from jounce.elements.springs.coil_limits import Seating, buckling_compression, stable_free_length, surge_frequency
from jounce.numerics.complex_step import STEP

G, E = 78.5e9, 206e9


@given(st.floats(0.03, 0.15), st.sampled_from(list(Seating)), st.floats(1.001, 4))
def test_buckling_is_that_of_a_column_as_soft_as_the_spring(coil: float, seating: Seating, slender: float):
    """Haringx: P (1 + P/S) = B (pi / (nu L))², B = k L D² / (2 (1 + 2 G/E)) and S = k L E/G at the length L it then has."""
    free = slender * float(stable_free_length(coil, seating, G, E))
    compression = float(buckling_compression(free, coil, seating, G, E))
    length, rate = free - compression, 20e3
    force = rate * compression
    bending, shear = rate * length * coil**2 / (2 * (1 + 2 * G / E)), rate * length * E / G

    assert force * (1 + force / shear) == pytest.approx(bending * (np.pi / (seating.factor * length)) ** 2, rel=1e-9)


@given(st.floats(0.03, 0.15), st.sampled_from(list(Seating)))
def test_shorter_than_the_limit_never_buckles(coil: float, seating: Seating):
    limit = float(stable_free_length(coil, seating, G, E))

    assert np.isinf(buckling_compression(limit * 0.999, coil, seating, G, E))
    assert np.isfinite(buckling_compression(limit * 1.001, coil, seating, G, E))


def test_a_looser_seat_buckles_sooner():
    at = [float(buckling_compression(0.5, 0.06, seating, G, E)) for seating in Seating]

    assert at == sorted(at, reverse=True)


def test_buckling_carries_a_perturbation():
    free, h = 0.5, 1e-6
    slope = buckling_compression(np.array([free + 1j * STEP]), 0.06, Seating.FLAT, G, E)[0].imag / STEP
    above, below = (float(buckling_compression(free + s * h, 0.06, Seating.FLAT, G, E)) for s in (1, -1))

    assert slope == pytest.approx((above - below) / (2 * h), rel=1e-7)


@given(st.floats(0.008, 0.018), st.floats(5, 12), st.floats(3, 12))
def test_surge_is_half_the_root_of_rate_per_mass_of_the_active_turns(wire: float, index: float, turns: float):
    rate, mass = helical_rate(G, wire, index * wire, turns), coil_mass(wire, index * wire, turns, 7850.0)

    assert surge_frequency(wire, index * wire, turns, G, 7850.0) == pytest.approx(0.5 * np.sqrt(rate / mass), rel=1e-12)


@pytest.mark.parametrize("ends", Ends)
def test_solid_length_and_dead_turns_by_the_form_of_the_ends(ends: Ends):
    """Shigley's table in active turns: closed Na + 3, closed and ground Na + 2, plain and ground Na + 1, plain Na + 1."""
    wires = {"closed": 3.0, "closed-ground": 2.0, "plain-ground": 1.0, "plain": 1.0, "hot-formed-ground": 1.2}

    assert solid_length(6 + ends.dead_turns, 0.01, ends) == pytest.approx(0.01 * (6 + wires[ends.word]), rel=1e-12)


def test_gaps_under_moving_load():
    for winding, more in ((Winding.HOT, 2.0), (Winding.COLD, 1.5)):
        resting, moving = (float(least_gaps(0.012, 0.1, 6, winding, moving=moving)) for moving in (False, True))
        assert moving == pytest.approx(more * resting, rel=1e-14)


@given(st.floats(0.008, 0.018), st.floats(5, 12), st.floats(1, 20))
def test_turns_for_a_rate_give_that_rate(wire: float, index: float, turns: float):
    rate = helical_rate(G, wire, index * wire, turns)

    assert active_turns(G, wire, index * wire, rate) == pytest.approx(turns, rel=1e-13)


def test_moduli_that_no_steel_has_are_refused():
    with pytest.raises(InputError, match=r"shear modulus per Young's modulus"):
        buckling_compression(0.4, 0.06, Seating.FLAT, 206e9, 78.5e9)
