"""Spring steels: moduli, density and permissible stresses, each number with its source.

A number that no source gave is absent; the absence is told as "unknown", never filled with a neighbour's value.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from jounce.conventions.errors import check_range
from jounce.conventions.units import GPA, KSI, MM, MPA
from jounce.numerics.arrays import Array

_EN_13906_1 = "EN 13906-1, as given in a public transcription"
_DIN_SHEETS = "published reprint of DIN sheets"
_DIN_2091 = "DIN 2091, as given in a public transcription: 51CrV4 class, 1600 to 1800 MPa tensile, few load cycles"
_MACHINERY = "Machinery's Handbook, 32nd ed., Table 20, as given in a public transcription"
_SHIGLEY = "Shigley's Mechanical Engineering Design, 10th ed., Table 10-5, for wire of 0.033 to 0.063 in"


@dataclass(frozen=True, slots=True)
class Sourced:
    """A number in SI and where it was read."""

    value: float
    source: str


@dataclass(frozen=True, slots=True)
class SpringSteel:
    """A class of spring steel; what no source gave is ``None`` and means unknown.

    ``word`` is what a file or an option calls it. Moduli and permissible shear stresses in Pa, density in kg/m³.
    ``shear_limit`` holds for torsion bars that were not preset, ``shear_limit_preset`` for those twisted beyond yield by
    their maker, in the sense of that twist only. Both are for resting load or few load cycles; how many cycles a bar
    bears is not known: no published fatigue limit was at hand.
    """

    name: str
    word: str
    shear_modulus: Sourced
    youngs_modulus: Sourced | None = None
    density: Sourced | None = None
    shear_limit: Sourced | None = None
    shear_limit_preset: Sourced | None = None


SPRING_STEELS: Final[dict[str, SpringSteel]] = {
    steel.name: steel
    for steel in (
        SpringSteel(
            "hot-formed, EN 10089",
            "hot-formed",
            shear_modulus=Sourced(78.5 * GPA, _EN_13906_1),
            youngs_modulus=Sourced(206 * GPA, _EN_13906_1),
            density=Sourced(7850.0, _EN_13906_1),
            shear_limit=Sourced(700 * MPA, _DIN_2091),
            shear_limit_preset=Sourced(1020 * MPA, _DIN_2091),
        ),
        SpringSteel(
            "patented cold-drawn, EN 10270-1",
            "cold-drawn",
            shear_modulus=Sourced(81.5 * GPA, _DIN_SHEETS),
            youngs_modulus=Sourced(206 * GPA, _DIN_SHEETS),
            density=Sourced(7850.0, _DIN_SHEETS),
        ),
        SpringSteel(
            "chrome vanadium, ASTM A231",
            "chrome-vanadium",
            shear_modulus=Sourced(11.2e3 * KSI, _MACHINERY),
            youngs_modulus=Sourced(28.5e3 * KSI, _MACHINERY),
        ),
        SpringSteel("music wire, ASTM A228", "music-wire", shear_modulus=Sourced(11.85e3 * KSI, _SHIGLEY)),
    )
}
"""Steels by name. Shear moduli of like steels differ by 2 % between sources, and so do rates from dimensions."""

SteelWord = Literal["hot-formed", "cold-drawn", "chrome-vanadium", "music-wire"]
STEEL_OF_WORD: Final[dict[str, SpringSteel]] = {steel.word: steel for steel in SPRING_STEELS.values()}
"""The same steels by the word that a file or an option gives them."""

NO_LIFE: Final = "unknown: no published fatigue limit at hand"
"""What is said of the number of load cycles that a bar bears."""


def static_shear_limit(steel: SpringSteel, *, preset: bool) -> Sourced | None:
    """Permissible shear stress of a torsion bar under resting load or few load cycles.

    Args:
        steel: what the bar is made of
        preset: whether its maker twisted it beyond yield, in the sense in which it works

    Returns:
        The stress [Pa] with its source, None where no source gave one

    """
    return steel.shear_limit_preset if preset else steel.shear_limit


_SOLID_LIMIT_BAR = np.array([10, 15, 20, 25, 30, 40, 50]) * MM
_SOLID_LIMIT = np.array([925, 874.4, 840.2, 813.1, 794.6, 761.3, 735.8]) * MPA


def warm_modulus(modulus: float | Array, temperature: float | Array) -> Array:
    """Modulus of spring steel at another temperature.

    ``G (1 - 0.00028 (T - 20))``

    Args:
        modulus: shear or Young's modulus at 20 degrees Celsius [Pa]
        temperature: T, -40 to 150 degrees Celsius [°C]

    Returns:
        Modulus at that temperature [Pa]

    Raises:
        InputError: a temperature at which no car stands

    Source: EN 13906-1 and DIN 2091, as given in two public transcriptions that agree; the range is this program's own.

    >>> round(float(warm_modulus(78.5e9, 70.0)) / 1e9, 3)
    77.401

    """
    check_range("steel temperature", np.asarray(temperature) * 1.0, -40, 150, "°C", "Check the temperature.")
    return np.asarray(modulus * (1 - 0.00028 * (np.asarray(temperature) - 20)))


def hot_formed_solid_stress_limit(bar: float | Array) -> Array:
    """Permissible plain torsion stress of a hot-formed coil pressed solid.

    Args:
        bar: diameter of the coil's bar, 10 to 50 mm [m]

    Returns:
        Stress without curvature factor, between the tabulated diameters by straight lines [Pa]

    Raises:
        InputError: a bar outside the table

    Source: EN 13906-1, chart for hot-formed springs, as read in a public transcription.

    >>> round(float(hot_formed_solid_stress_limit(0.0125)) / 1e6, 1)
    899.7

    """
    low, high = _SOLID_LIMIT_BAR[[0, -1]] / MM
    check_range("bar of a hot-formed coil", np.asarray(bar) / MM, low, high, "mm", "The source has no other sizes.")
    return np.asarray(np.interp(bar, _SOLID_LIMIT_BAR, _SOLID_LIMIT))
