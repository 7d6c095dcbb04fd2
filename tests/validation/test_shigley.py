"""Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., Example 10-1, p. 519; public transcription."""

from __future__ import annotations

import pytest

from jounce.conventions.units import INCH, KSI, LBF, LBF_PER_IN, N_PER_MM, PSI
from jounce.elements.bars.materials import SPRING_STEELS
from jounce.elements.springs.coil import Ends, helical_rate, solid_length, spring_index
from jounce.elements.springs.coil_spring import CoilSpring
from jounce.elements.springs.coil_stress import bergstraesser_factor, coil_shear_stress, wahl_factor
from tests.published import Published

ROUNDED_ON_THE_WAY = "the book rounds the strength to 146 kpsi and the index to 10.8 before it goes on"


def _printed(quantity: str, printed: str, unit: float = 1.0, *, rel: float = 0.0, note: str = "") -> Published:
    return Published(
        quantity=quantity,
        source="shigley",
        where="Example 10-1, p. 519",
        printed=printed,
        unit=unit,
        rel=rel,
        tolerance_note=ROUNDED_ON_THE_WAY if rel else "",
        note=note,
    )


INDEX = _printed("spring index", "10.8")
FACTOR = _printed("Bergsträsser factor", "1.124")
YIELD_STRENGTH = _printed("torsional yield strength", "146", KSI)
FORCE = _printed("force at torsional yield", "6.46", LBF, rel=0.003)
RATE = _printed("spring rate", "4.13", LBF_PER_IN, note="mean diameter 0.400 in; the book rounds 0.4005 in")
DEFLECTION = _printed("deflection at torsional yield", "1.56", INCH)
SOLID = _printed("solid length", "0.500", INCH, rel=0.003)
FREE = _printed("free length that survives being pressed solid", "2.06", INCH)

WIRE, COIL, MODULUS = 0.037 * INCH, 0.400 * INCH, 11.85e6 * PSI
STRENGTH = 0.45 * 201e3 * PSI / 0.037**0.145  # the book's 0.45 A/d^m for music wire, A = 201 kpsi, m = 0.145


def _force_at_yield() -> float:
    unit_stress = bergstraesser_factor(spring_index(WIRE, COIL)) * coil_shear_stress(1.0, WIRE, COIL)
    return float(STRENGTH / unit_stress)


def test_example_10_1_as_printed():
    rate = helical_rate(MODULUS, WIRE, COIL, 10.5)
    force = _force_at_yield()
    solid = solid_length(12.5, WIRE, Ends.CLOSED)
    spring = CoilSpring(rate, solid + force / rate, solid)

    assert spring_index(WIRE, COIL) == INDEX.match()
    assert bergstraesser_factor(spring_index(WIRE, COIL)) == FACTOR.match()
    assert force == FORCE.match()
    assert rate == RATE.match()
    assert spring.travel == DEFLECTION.match()
    assert solid == SOLID.match()
    assert spring.free_length == FREE.match()


def test_example_10_1_stress_under_the_printed_force():
    stress = bergstraesser_factor(spring_index(WIRE, COIL)) * coil_shear_stress(FORCE.value, WIRE, COIL)

    assert stress == YIELD_STRENGTH.match()
    assert stress / KSI == pytest.approx(146.0455, abs=5e-5)


def test_example_10_1_in_full_digits():
    rate = helical_rate(MODULUS, WIRE, COIL, 10.5)
    index = spring_index(WIRE, COIL)

    assert index == pytest.approx(10.8108, abs=5e-5)
    assert bergstraesser_factor(index) == pytest.approx(1.124244, abs=5e-7)
    assert wahl_factor(index) == pytest.approx(1.133334, abs=5e-7)
    assert _force_at_yield() / LBF == pytest.approx(6.45303, abs=5e-6)
    assert rate / LBF_PER_IN == pytest.approx(4.131103, abs=5e-7)
    assert rate / N_PER_MM == pytest.approx(0.7234669, abs=5e-8)
    assert solid_length(12.5, WIRE, Ends.CLOSED) / INCH == pytest.approx(0.4995, rel=1e-12)


def test_the_material_table_holds_the_modulus_of_table_10_5():
    assert SPRING_STEELS["music wire, ASTM A228"].shear_modulus.value == pytest.approx(MODULUS, rel=1e-12)
