"""DIN 2091 and EN 13906-1: permissible stresses and stress factors, from public transcriptions and textbooks.

The standards themselves were not seen.
"""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.units import GPA, MM, MPA
from jounce.elements.coil import bergstraesser_factor, wahl_factor
from jounce.elements.materials import SPRING_STEELS, hot_formed_solid_stress_limit, warm_modulus
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
