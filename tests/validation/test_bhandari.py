"""Bhandari, Design of Machine Elements, Examples 10.1, 10.2 and 10.19; results in a public transcription.

The transcription prints the results of exact arithmetic, so all its digits count.
"""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.units import MM, MPA, N_PER_MM
from jounce.elements.law import OneSided, Parallel
from jounce.elements.springs.coil import Ends, active_turns, helical_rate, solid_length, spring_index
from jounce.elements.springs.coil_spring import CoilSpring
from jounce.elements.springs.coil_stack import Stack
from jounce.elements.springs.coil_stress import coil_shear_stress, wahl_factor
from tests.published import Published

MODULUS = 81_370 * MPA


def _printed(example: str, quantity: str, printed: str, unit: float = 1.0) -> Published:
    return Published(quantity=quantity, source="bhandari", where=f"Example {example}", printed=printed, unit=unit)


CALCULATED_WIRE = _printed("10.1", "wire diameter for 545 MPa", "6.625083", MM)
CALCULATED_TURNS = _printed("10.1", "active turns for 30 mm under 1250 N", "7.91097")
RATE_10_1 = _printed("10.1", "spring rate", "41.20298", N_PER_MM)
DEFLECTION = _printed("10.1", "deflection under 1250 N", "30.337611", MM)
SOLID = _printed("10.1", "solid length, ends closed and ground", "70", MM)
FREE = _printed("10.1", "free length with 1 mm between the turns under load", "109.337611", MM)
FACTOR = _printed("10.1", "Wahl factor", "1.2525")
STRESS = _printed("10.1", "corrected shear stress under 1250 N", "488.183", MPA)
RATE_10_2 = _printed("10.2", "spring rate", "179.014", N_PER_MM)

RATES = (
    _printed("10.19", "rate of the outer spring", "28.253472", N_PER_MM),
    _printed("10.19", "rate of the inner spring", "29.430700", N_PER_MM),
)
DEFLECTIONS = (
    _printed("10.19", "deflection of the outer spring", "24.988839", MM),
    _printed("10.19", "deflection of the inner spring", "9.988839", MM),
)
FORCES = (
    _printed("10.19", "share of the outer spring", "706.021471"),
    _printed("10.19", "share of the inner spring", "293.978529"),
)
STRESSES = (
    _printed("10.19", "corrected shear stress, outer spring", "375.305136", MPA),
    _printed("10.19", "corrected shear stress, inner spring", "225.032219", MPA),
)


def _stress(force: float, wire: float, coil: float) -> float:
    return float(wahl_factor(spring_index(wire, coil)) * coil_shear_stress(force, wire, coil))


def test_example_10_1_wire_and_turns():
    """At a given index the stress goes with 1/d²: a wire of 1 mm says which wire has 545 MPa."""
    wire = MM * np.sqrt(_stress(1250.0, MM, 6 * MM) / 545e6)

    assert wire == CALCULATED_WIRE.match()
    assert active_turns(MODULUS, 7 * MM, 42 * MM, 1250.0 / (30 * MM)) == CALCULATED_TURNS.match()


def test_example_10_1_spring_as_made():
    rate = helical_rate(MODULUS, 7 * MM, 42 * MM, 8)
    solid = solid_length(10, 7 * MM, Ends.CLOSED_GROUND)
    free = solid + 9 * MM + 1250.0 / rate
    spring = CoilSpring(rate, free, solid)

    assert rate == RATE_10_1.match()
    assert solid == SOLID.match()
    assert free == FREE.match()
    assert spring.force_at_length(solid + 9 * MM) == pytest.approx(1250.0, rel=1e-12)
    assert spring.compression(solid + 9 * MM) == DEFLECTION.match()
    assert wahl_factor(6.0) == FACTOR.match()
    assert _stress(1250.0, 7 * MM, 42 * MM) == STRESS.match()


def test_example_10_2_rate():
    assert helical_rate(MODULUS, 11 * MM, 55 * MM, 5) == RATE_10_2.match()


def test_example_10_19_nested_springs_of_two_lengths():
    """The inner spring is 15 mm shorter: it takes hold after 15 mm, and the rate rises by a step."""
    sizes = ((6 * MM, 36 * MM, 10), (5 * MM, 30 * MM, 8))
    outer, inner = (helical_rate(MODULUS, *size) for size in sizes)
    law = Parallel((OneSided(outer), OneSided(inner, start=15 * MM)))
    compression = np.asarray((1000.0 + inner * 15 * MM) / (outer + inner))
    shares = [float(one.force(compression)) for one in law.laws]

    assert (outer, inner) == (RATES[0].match(), RATES[1].match())
    assert law.force(compression) == pytest.approx(1000.0, rel=1e-12)
    assert compression == DEFLECTIONS[0].match()
    assert compression - 15 * MM == DEFLECTIONS[1].match()
    assert shares == [FORCES[0].match(), FORCES[1].match()]
    assert [_stress(share, *size[:2]) for share, size in zip(shares, sizes, strict=True)] == [
        STRESSES[0].match(),
        STRESSES[1].match(),
    ]


def test_example_10_19_seen_as_a_helper_that_goes_solid():
    """A stack with the two rates of the nested pair before and after the step is the same law."""
    soft, stiff = RATES[0].value, RATES[0].value + RATES[1].value
    step = soft * 15 * MM  # force at which the rate rises
    helper_rate = 1 / (1 / soft - 1 / stiff)
    helper = CoilSpring(helper_rate, free_length=0.060, solid_length=0.060 - step / helper_rate)
    stack = Stack((CoilSpring(stiff, free_length=0.200), helper))

    assert stack.law.force(np.array(DEFLECTIONS[0].value)) == pytest.approx(1000.0, rel=1e-7)
    assert stack.law.stiffness(np.array([10, 20]) * MM) == pytest.approx([soft, stiff], rel=1e-12)
