"""A machine-design handbook's procedure 7.13.1, "Comprehensive spring design"; read in a public transcription."""

from __future__ import annotations

import pytest

from jounce.conventions.units import INCH, LBF, LBF_PER_IN, N_PER_MM, PSI
from jounce.elements.springs.coil import Ends, helical_rate, solid_length, spring_index
from jounce.elements.springs.coil_stress import coil_shear_stress, wahl_factor
from tests.published import Published

SOURCE = "spring-design-procedure"
PLACE = "procedure 7.13.1"
INDEX = Published(quantity="spring index", source=SOURCE, where=PLACE, printed="6.76")
FACTOR = Published(
    quantity="Wahl factor",
    source=SOURCE,
    where=PLACE,
    printed="1.221",
)
RATE = Published(quantity="spring rate", source=SOURCE, where=PLACE, printed="89", unit=LBF_PER_IN)
STRESS = Published(
    quantity="corrected shear stress at 356 lbf",
    source=SOURCE,
    where=PLACE,
    printed="119 695",
    unit=PSI,
    rel=0.0005,
    tolerance_note="the procedure goes on with the factor rounded to 1.221 and pi to three or four digits",
)
SOLID = Published(
    quantity="solid length, ends closed and ground", source=SOURCE, where=PLACE, printed="3.75", unit=INCH
)

WIRE, COIL, MODULUS = 0.250 * INCH, 1.69 * INCH, 11.5e6 * PSI


def test_procedure_as_printed():
    index = spring_index(WIRE, COIL)

    assert index == INDEX.match()
    assert wahl_factor(index) == FACTOR.match()
    assert helical_rate(MODULUS, WIRE, COIL, 13) == RATE.match()
    assert wahl_factor(index) * coil_shear_stress(356 * LBF, WIRE, COIL) == STRESS.match()
    assert solid_length(15, WIRE, Ends.CLOSED_GROUND) == SOLID.match()


def test_procedure_in_full_digits():
    factor = wahl_factor(spring_index(WIRE, COIL))
    rate = helical_rate(MODULUS, WIRE, COIL, 13)

    assert factor == pytest.approx(1.221185, abs=5e-7)
    assert rate / LBF_PER_IN == pytest.approx(89.48792, abs=5e-6)
    assert rate / N_PER_MM == pytest.approx(15.67174, abs=5e-6)
    assert factor * coil_shear_stress(356 * LBF, WIRE, COIL) / PSI == pytest.approx(119739.7, abs=0.05)
