"""DIN 2091 and EN 13906-1: permissible stresses and stress factors, from public transcriptions and textbooks.

The standards themselves were not seen.
"""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.units import GPA, MM, MPA
from jounce.elements.bars.materials import SPRING_STEELS, hot_formed_solid_stress_limit, warm_modulus
from jounce.elements.springs.coil import Winding, least_gaps
from jounce.elements.springs.coil_limits import Seating, stable_free_length, surge_frequency
from jounce.elements.springs.coil_stress import bergstraesser_factor, wahl_factor
from tests.published import Published

HOT_FORMED = SPRING_STEELS["hot-formed, EN 10089"]


def _din(quantity: str, printed: str) -> Published:
    return Published(
        quantity=quantity, source="din-2091", where="permissible shear stress, static load", printed=printed, unit=MPA
    )


NOT_PRESET = _din("permissible stress of a torsion bar, not preset", "700")
PRESET = _din("permissible stress of a torsion bar, preset", "1020")
SHEAR_MODULUS = Published(
    quantity="shear modulus, EN 10089", source="en-13906-1", where="material data", printed="78500", unit=MPA
)
YOUNGS_MODULUS = Published(
    quantity="Young's modulus, EN 10089", source="en-13906-1", where="material data", printed="206000", unit=MPA
)
SOLID_LIMITS = {
    diameter: Published(
        quantity=f"stress limit pressed solid, hot-formed, bar {diameter} mm",
        source="en-13906-1",
        where="chart for hot-formed springs",
        printed=printed,
        unit=MPA,
    )
    for diameter, printed in zip(
        (10, 15, 20, 25, 30, 40, 50), ["925", "874.4", "840.2", "813.1", "794.6", "761.3", "735.8"], strict=True
    )
}


def _factors(source: str, name: str, printed: str) -> dict[int, Published]:
    return {
        index: Published(quantity=f"{name} at C = {index}", source=source, where="formula", printed=digits, status="F")
        for index, digits in zip((4, 5, 6, 7, 8, 9, 10, 12), printed.split(), strict=True)
    }


WAHL = _factors("shigley", "Wahl factor", "1.4038 1.3105 1.2525 1.2129 1.1840 1.1621 1.1448 1.1194")
BERGSTRAESSER = _factors("en-13906-1", "Bergsträsser factor", "1.3846 1.2941 1.2381 1.2000 1.1724 1.1515 1.1351 1.1111")


GAPS = Published(
    quantity="least gaps of a hot-coiled spring per n (D + d)",
    source="en-13906-1",
    where="sum of the minimum gaps",
    printed="0.02",
)
SURGE = Published(
    quantity="surge frequency by d / (n D²) √(G / ρ) in mm, N/mm² and kg/dm³",
    source="en-13906-1",
    where="natural frequency",
    printed="3560",
    rel=0.0005,
    tolerance_note="the standard rounds 3558.8 to three digits",
)
STABLE = Published(
    quantity="longest spring that never buckles, per D / seating factor, of steel",
    source="shigley",
    where="Eq. 10-12",
    printed="2.63",
    status="M",
)


def test_least_gaps_of_a_hot_coiled_spring():
    assert least_gaps(12 * MM, 100 * MM, 5, Winding.HOT) / (5 * 112 * MM) == GAPS.match()
    assert least_gaps(12 * MM, 100 * MM, 5, Winding.HOT, moving=True) / (5 * 112 * MM) == pytest.approx(0.04)


def test_surge_frequency():
    """Wire 12 mm, D 100 mm, n = 6, in the units of the standard."""
    frequency = surge_frequency(12 * MM, 100 * MM, 6, 78_500 * MPA, 7850.0)

    assert frequency / (12 / (6 * 100**2) * np.sqrt(78_500 / 7.85)) == SURGE.match()


def test_length_that_never_buckles():
    assert HOT_FORMED.youngs_modulus is not None
    moduli = HOT_FORMED.shear_modulus.value, HOT_FORMED.youngs_modulus.value
    for seating in Seating:
        assert stable_free_length(1e-1, seating, *moduli) * seating.factor / 1e-1 == STABLE.match()


def test_permissible_stresses_of_torsion_bars():
    assert HOT_FORMED.shear_limit is not None
    assert HOT_FORMED.shear_limit_preset is not None
    assert HOT_FORMED.shear_limit.value == NOT_PRESET.match()
    assert HOT_FORMED.shear_limit_preset.value == PRESET.match()


def test_moduli():
    assert HOT_FORMED.youngs_modulus is not None
    assert HOT_FORMED.shear_modulus.value == SHEAR_MODULUS.match()
    assert HOT_FORMED.youngs_modulus.value == YOUNGS_MODULUS.match()


@pytest.mark.parametrize("diameter", SOLID_LIMITS)
def test_solid_stress_limit(diameter: int):
    assert hot_formed_solid_stress_limit(diameter * MM) == SOLID_LIMITS[diameter].match()


@pytest.mark.parametrize("index", WAHL)
def test_stress_factors(index: int):
    assert wahl_factor(index) == WAHL[index].match()
    assert bergstraesser_factor(index) == BERGSTRAESSER[index].match()


def test_modulus_falls_by_28_hundredths_of_a_per_mille_per_degree():
    assert warm_modulus(80 * GPA, np.array([20.0, 120.0])) / GPA == pytest.approx([80.0, 80 * 0.972], rel=1e-14)
