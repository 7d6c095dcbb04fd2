"""Uneven roads by their spectra: the classes of ISO 8608, two tracks that are partly alike, axles that follow each other.

Of ISO 8608 the table of classes and the straight-line form are used; the standard itself was not read.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy  # its rooms open on use

from jounce.conventions.errors import InputError
from jounce.numerics.arrays import Array

REFERENCE = 0.1
"""Spatial frequency at which a class is told [cycles/m]. The same classes at 1 rad/m have other numbers: 16 times less."""

CLASSES = dict(zip("ABCDEFGH", (16e-6 * 4.0**k for k in range(8)), strict=True))
"""Displacement density of each class at `REFERENCE`, geometric mean [m³]; a class reaches from half to twice it."""

MEANING = {
    "A": "very good: new motorway",
    "B": "good: main road",
    "C": "average: worn country road",
    "D": "poor: patched or cobbled",
    "E": "very poor: unpaved, pot-holed",
    "F": "field track",
    "G": "field track, rough",
    "H": "barely to be driven on",
}
"""What a class looks like: common practice, no part of the standard."""


@dataclass(frozen=True, slots=True)
class Road:
    """A road of random unevenness: ``Gd(n) = roughness (n / n0)⁻²``.

    Attributes:
        name: class or other name
        roughness: one-sided displacement density at n0 = 0.1 cycles/m [m³]

    """

    name: str
    roughness: float

    def density(self, wavenumber: Array) -> Array:
        """One-sided displacement density over spatial frequency [cycles/m], in m³."""
        return np.asarray(self.roughness * (np.asarray(wavenumber) / REFERENCE) ** -2.0)

    def slope_density(self) -> float:
        """One-sided density of the slope, the same at all spatial frequencies: ``(2π n0)² Gd(n0)`` [m]."""
        return float((2 * np.pi * REFERENCE) ** 2 * self.roughness)

    def heights(self, frequency: Array, speed: float, at: Array) -> Array:
        """Cross spectra of the heights under the wheels, one-sided, shape (frequencies, wheels, wheels) [m²/Hz].

        A wheel behind meets what the one ahead met, later by the way between them; tracks beside each other are alike
        as `coherence` says.

        Args:
            frequency: [Hz]
            speed: of the car [m/s]
            at: places of the wheels, forward and left, shape (wheels, 2) [m]
        """
        w = np.asarray(frequency, float)[:, None, None]
        behind, beside = at[:, None, 0] - at[None, :, 0], np.abs(at[:, None, 1] - at[None, :, 1])
        late = np.exp(2j * np.pi * w * behind / speed)
        own = self.density(w / speed) / speed
        return np.asarray(own * coherence(w / speed, beside) * late)


def coherence(wavenumber: Array, apart: Array) -> Array:
    """Likeness of two parallel tracks on a surface that is as rough in every direction.

    ``g = k b K1(k b)`` with k = 2π n, b apart and K1 the modified Bessel function: what isotropy makes of ``n⁻²``.

    Args:
        wavenumber: n, spatial frequency [cycles/m]
        apart: b, distance of the tracks; within 0.1 mm it is one track [m]

    Returns:
        Cross density over density, 1 for long waves, 0 for short ones [-]

    Source: the idea is of C. J. Dodds and J. D. Robson, The description of road surface roughness, J. Sound and Vibration
    31 (1973); the closed form is derived on the page on random roads.

    >>> coherence(np.array([0.01, 0.1, 1.0]), np.array(1.4)).round(3)
    array([0.988, 0.654, 0.001])

    """
    turned = 2 * np.pi * np.asarray(wavenumber) * np.asarray(apart)
    same = np.broadcast_to(np.asarray(apart) < 1e-4, turned.shape)
    return np.asarray(np.where(same, 1.0, turned * scipy.special.kv(1, np.where(same, 1.0, turned))))


def road_class(letter: str) -> Road:
    """A road in the middle of a class of ISO 8608.

    Args:
        letter: A to H

    Raises:
        InputError: no such class
    """
    name = letter.strip().upper()
    if name not in CLASSES:
        raise InputError(
            "There is no such class of road",
            found=letter,
            allowed="; ".join(f"{key} {MEANING[key]}" for key in CLASSES),
            todo="Give one letter.",
        )
    return Road(name, CLASSES[name])
