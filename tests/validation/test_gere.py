"""Gere, Mechanics of Materials, Examples 3-1 to 3-3 (pp. 196-200); read in a public transcription and recomputed."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.units import DEG, INCH, LBF_FT, MM, MPA, PSI
from jounce.elements.bars.torsion_bar import TorsionBar
from tests.published import Published

EXAMPLE_3_1 = "Example 3-1, p. 196"
STRESS = Published(quantity="shear stress, solid bar", source="gere", where=EXAMPLE_3_1, printed="4527", unit=PSI)
TWIST = Published(quantity="twist, solid bar", source="gere", where=EXAMPLE_3_1, printed="1.62", unit=DEG)
TORQUE = Published(
    quantity="torque at 6000 psi, which governs over the twist limit",
    source="gere",
    where=EXAMPLE_3_1,
    printed="331",
    unit=LBF_FT,
)

EXAMPLE_3_2 = "Example 3-2, p. 197"
SOLID_BY_STRENGTH = Published(
    quantity="diameter of a solid shaft by strength", source="gere", where=EXAMPLE_3_2, printed="53.46", unit=MM
)
SOLID_BY_TWIST = Published(
    quantity="diameter of a solid shaft by twist", source="gere", where=EXAMPLE_3_2, printed="58.82", unit=MM
)
HOLLOW_BY_STRENGTH = Published(
    quantity="outer diameter of a hollow shaft by strength", source="gere", where=EXAMPLE_3_2, printed="63.73", unit=MM
)
HOLLOW_BY_TWIST = Published(
    quantity="outer diameter of a hollow shaft by twist", source="gere", where=EXAMPLE_3_2, printed="67.10", unit=MM
)
DIAMETER_RATIO = Published(quantity="hollow over solid diameter", source="gere", where=EXAMPLE_3_2, printed="1.141")
MASS_RATIO = Published(quantity="hollow over solid mass", source="gere", where=EXAMPLE_3_2, printed="0.469")

EXAMPLE_3_3 = "Example 3-3, p. 200"
RATE_RATIO = Published(quantity="twist of a bar bored to 0.6 d", source="gere", where=EXAMPLE_3_3, printed="1.15")
WEIGHT_RATIO = Published(quantity="weight of a bar bored to 0.6 d", source="gere", where=EXAMPLE_3_3, printed="0.64")


def test_example_3_1_stress_twist_and_torque_of_a_solid_bar():
    bar = TorsionBar(diameter=1.5 * INCH, active_length=54 * INCH, shear_modulus=11.5e6 * PSI)
    torque = 250 * LBF_FT

    assert bar.shear_stress(torque) == STRESS.match()
    assert torque / bar.rate == TWIST.match()
    assert bar.torque_at_stress(6000 * PSI) == TORQUE.match()


def test_example_3_1_in_full_digits():
    bar = TorsionBar(diameter=1.5 * INCH, active_length=54 * INCH, shear_modulus=11.5e6 * PSI)
    torque = 250 * LBF_FT

    assert bar.shear_stress(torque) / MPA == pytest.approx(31.2131, abs=5e-5)
    assert torque / bar.rate / DEG == pytest.approx(1.623958, abs=5e-7)
    assert bar.rate == pytest.approx(11958.842, abs=5e-4)
    assert bar.rate * DEG == pytest.approx(208.7212, abs=5e-5)
    assert bar.torque_at_stress(6000 * PSI) / LBF_FT == pytest.approx(331.340, abs=5e-4)
    assert bar.rate * 2.5 * DEG / LBF_FT == pytest.approx(384.862, abs=5e-4)


@pytest.mark.parametrize(("printed", "bore"), [(SOLID_BY_STRENGTH, 0.0), (HOLLOW_BY_STRENGTH, 0.8)])
def test_example_3_2_diameter_by_strength(printed: Published, bore: float):
    """Stress goes with 1/d³: the stress of the printed shaft says which diameter has 40 MPa under 1200 N m."""
    bar = TorsionBar(printed.value, 1.0, 78e9, inner_diameter=bore * printed.value)

    assert printed.value * (bar.shear_stress(1200.0) / 40e6) ** (1 / 3) == printed.match()


@pytest.mark.parametrize(("printed", "bore"), [(SOLID_BY_TWIST, 0.0), (HOLLOW_BY_TWIST, 0.8)])
def test_example_3_2_diameter_by_twist(printed: Published, bore: float):
    """Twist goes with 1/d⁴: the twist of the printed shaft says which diameter has 0.75 deg/m."""
    bar = TorsionBar(printed.value, 1.0, 78e9, inner_diameter=bore * printed.value)

    assert printed.value * (1200.0 / bar.rate / (0.75 * DEG)) ** 0.25 == printed.match()


def test_example_3_2_what_the_bore_costs_and_saves():
    """At the same twist: the hollow shaft is thicker by d⁴ (1 - 0.8⁴) = const, and lighter."""
    solid = TorsionBar(0.05, 1.0, 78e9)
    hollow = TorsionBar(0.05, 1.0, 78e9, inner_diameter=0.04)
    ratio = (solid.rate / hollow.rate) ** 0.25

    assert ratio == DIAMETER_RATIO.match()
    assert ratio**2 * hollow.mass(7850.0) / solid.mass(7850.0) == MASS_RATIO.match()


def test_example_3_3_bore_of_six_tenths():
    solid = TorsionBar(0.05, 1.0, 78e9)
    hollow = TorsionBar(0.05, 1.0, 78e9, inner_diameter=0.03)

    assert solid.rate / hollow.rate == RATE_RATIO.match()
    assert hollow.shear_stress(900.0) / solid.shear_stress(900.0) == RATE_RATIO.match()
    assert hollow.mass(7850.0) / solid.mass(7850.0) == WEIGHT_RATIO.match()
    np.testing.assert_allclose(solid.rate / hollow.rate, 1 / (1 - 0.6**4), rtol=1e-12)
