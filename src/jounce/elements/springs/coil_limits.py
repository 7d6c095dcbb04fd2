"""What ends a coil spring's good behaviour sideways and in time: buckling, and the surge of its own turns."""

from __future__ import annotations

from enum import Enum
from typing import Final

import numpy as np

from jounce.conventions.errors import check_range
from jounce.elements.springs.coil import check_index, spring_index
from jounce.elements.springs.limits import check_length, check_modulus
from jounce.numerics.arrays import Array

__all__ = ["SEATING_OF_WORD", "Seating", "buckling_compression", "stable_free_length", "surge_frequency"]


class Seating(Enum):
    """How the two ends are held: its word and the factor on the free length.

    Source: Shigley's Table 10-2; EN 13906-1 has the same factors, 0.5 to 2 (from public transcriptions).
    """

    FLAT = ("flat", 0.5)
    ONE_PIVOTED = ("one-pivoted", 0.707)
    PIVOTED = ("pivoted", 1.0)
    ONE_FREE = ("one-free", 2.0)

    @property
    def word(self) -> str:
        """What an option calls it."""
        return self.value[0]

    @property
    def factor(self) -> float:
        """Seating factor nu [-]."""
        return self.value[1]


SEATING_OF_WORD: Final = {seating.word: seating for seating in Seating}
"""Ways of seating by their word."""


def buckling_compression(
    free_length: float | Array,
    coil: float | Array,
    seating: Seating,
    shear_modulus: float | Array,
    youngs_modulus: float | Array,
) -> Array:
    """Compression at which a spring that nothing guides bows out sideways.

    ``L0 / (2 (1 - G/E)) (1 - sqrt(1 - (1 - G/E)/(1/2 + G/E) (pi D / (nu L0))²))``

    Args:
        free_length: L0 [m]
        coil: mean coil diameter D [m]
        seating: how the ends are held
        shear_modulus: G [Pa]
        youngs_modulus: E [Pa]

    Returns:
        Compression [m]; infinite where the root is not real: such a spring does not buckle at any compression

    Source: Shigley's Mechanical Engineering Design, Eq. 10-10, the same as EN 13906-1 (from a public transcription).

    >>> round(float(buckling_compression(0.4, 0.06, Seating.FLAT, 78.5e9, 206e9)), 4)
    0.125

    """
    check_length("free length", free_length, 0.001, 5.0)
    check_length("mean coil diameter", coil, 0.0005, 1.0)
    ratio = _modulus_ratio(shear_modulus, youngs_modulus)
    slenderness = np.asarray(seating.factor * np.asarray(free_length) / coil)
    inside = 1 - (1 - ratio) / (0.5 + ratio) * (np.pi / slenderness) ** 2
    root = np.sqrt(np.where(inside.real > 0, inside, 1.0))
    compression = np.asarray(free_length) / (2 * (1 - ratio)) * (1 - root)
    return np.asarray(np.where(inside.real > 0, compression, np.inf))


def stable_free_length(
    coil: float | Array, seating: Seating, shear_modulus: float | Array, youngs_modulus: float | Array
) -> Array:
    """Longest spring that does not buckle at any compression.

    ``pi D / nu sqrt((1 - G/E)/(1/2 + G/E))``, for steel about ``2.63 D / nu``

    Args:
        coil: mean coil diameter D [m]
        seating: how the ends are held
        shear_modulus: G [Pa]
        youngs_modulus: E [Pa]

    Returns:
        Free length [m]

    Source: Shigley's Mechanical Engineering Design, Eq. 10-11 and 10-12.

    """
    check_length("mean coil diameter", coil, 0.0005, 1.0)
    ratio = _modulus_ratio(shear_modulus, youngs_modulus)
    return np.asarray(np.pi * np.asarray(coil) / seating.factor * np.sqrt((1 - ratio) / (0.5 + ratio)))


def surge_frequency(
    wire: float | Array,
    coil: float | Array,
    active_turns: float | Array,
    shear_modulus: float | Array,
    density: float | Array,
) -> Array:
    """Lowest frequency of the turns themselves between two seats at rest.

    ``sqrt(k / m) / 2`` with the mass m of the active turns: ``d / (2 pi n D²) sqrt(G / (2 rho))``

    Args:
        wire: wire diameter d [m]
        coil: mean coil diameter D [m]
        active_turns: n [-]
        shear_modulus: G [Pa]
        density: rho [kg/m³]

    Returns:
        Frequency [Hz]

    Source: Shigley's Mechanical Engineering Design, Eq. 10-25; EN 13906-1 prints ``3560 d / (n D²) sqrt(G / rho)`` with
    mm, N/mm² and kg/dm³ (from a public transcription).

    >>> round(float(surge_frequency(0.012, 0.100, 8, 81.5e9, 7850.0)), 1)
    54.4

    """
    check_index(spring_index(wire, coil))
    check_modulus("shear modulus of the wire", shear_modulus)
    first = np.asarray(wire) / (2 * np.pi * np.asarray(active_turns) * np.asarray(coil) ** 2)
    return np.asarray(first * np.sqrt(np.asarray(shear_modulus) / (2 * np.asarray(density))))


def _modulus_ratio(shear_modulus: float | Array, youngs_modulus: float | Array) -> Array:
    ratio = np.asarray(shear_modulus) * 1.0 / np.asarray(youngs_modulus)
    check_range("shear modulus per Young's modulus", ratio, 0.3, 0.5, "", "Steel has about 0.38.")
    return np.asarray(ratio)
