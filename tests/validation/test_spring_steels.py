"""Moduli of spring steels as handbooks and standards print them, read in public transcriptions."""

from __future__ import annotations

from jounce.conventions.units import GPA, KSI
from jounce.elements.bars.materials import STEEL_OF_WORD
from tests.published import Published

COLD_DRAWN = "patented cold-drawn wire, EN 10270-1"
COLD_DRAWN_SHEAR = Published(
    quantity="shear modulus, EN 10270-1 wire", source="en-10270-1", where=COLD_DRAWN, printed="81.5", unit=GPA
)
COLD_DRAWN_YOUNG = Published(
    quantity="Young's modulus, EN 10270-1 wire", source="en-10270-1", where=COLD_DRAWN, printed="206", unit=GPA
)
VANADIUM = "Table 20, chrome vanadium, ASTM A231"
VANADIUM_SHEAR = Published(
    quantity="shear modulus, ASTM A231 wire",
    source="machinerys-handbook",
    where=VANADIUM,
    printed="11.2",
    unit=1e3 * KSI,
)
VANADIUM_YOUNG = Published(
    quantity="Young's modulus, ASTM A231 wire",
    source="machinerys-handbook",
    where=VANADIUM,
    printed="28.5",
    unit=1e3 * KSI,
)


def test_cold_drawn_wire():
    steel = STEEL_OF_WORD["cold-drawn"]
    assert steel.youngs_modulus is not None
    assert steel.density is not None

    assert steel.shear_modulus.value == COLD_DRAWN_SHEAR.match()
    assert steel.youngs_modulus.value == COLD_DRAWN_YOUNG.match()
    assert steel.density.value == 7850


def test_chrome_vanadium_wire():
    steel = STEEL_OF_WORD["chrome-vanadium"]
    assert steel.youngs_modulus is not None

    assert steel.shear_modulus.value == VANADIUM_SHEAR.match()
    assert steel.youngs_modulus.value == VANADIUM_YOUNG.match()
