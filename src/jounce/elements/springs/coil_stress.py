"""Shear stress of a coil spring's round wire, and the factors for the curvature of its turns."""

from __future__ import annotations

import numpy as np

from jounce.elements.springs.coil import check_index
from jounce.numerics.arrays import Array

__all__ = ["bergstraesser_factor", "coil_shear_stress", "wahl_factor"]


def wahl_factor(index: float | Array) -> Array:
    """Stress factor for curvature and direct shear after Wahl.

    ``(4C - 1) / (4C - 4) + 0.615 / C``

    Args:
        index: spring index C = D/d [-]

    Returns:
        Factor on the plain torsion stress [-]

    Source: Wahl, as given in Shigley's Mechanical Engineering Design.

    """
    c = check_index(index)
    return np.asarray((4 * c - 1) / (4 * c - 4) + 0.615 / c)


def bergstraesser_factor(index: float | Array) -> Array:
    """Stress factor after Bergsträsser, the one of EN 13906-1.

    ``(C + 0.5) / (C - 0.75)``

    Args:
        index: spring index C = D/d [-]

    Returns:
        Factor on the plain torsion stress [-]

    Source: EN 13906-1 (from a public transcription); the same as (4C + 2)/(4C - 3) of Shigley's.

    """
    c = check_index(index)
    return np.asarray((c + 0.5) / (c - 0.75))


def coil_shear_stress(force: float | Array, wire: float | Array, coil: float | Array) -> Array:
    """Plain torsion stress of the wire, to be multiplied by a stress factor.

    ``8 F D / (pi d³)``

    Args:
        force: spring force F [N]
        wire: wire diameter d [m]
        coil: mean coil diameter D [m]

    Returns:
        Shear stress [Pa]

    Source: EN 13906-1 (from a public transcription); also Shigley's Mechanical Engineering Design.

    """
    return np.asarray(8 * force * np.asarray(coil) / (np.pi * np.asarray(wire) ** 3))
