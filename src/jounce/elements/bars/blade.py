"""A blade at the end of an anti-roll bar's arm, turned about its own length to set the bar."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.springs.limits import check_length, check_modulus
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class Blade:
    """A flat strip clamped at one end: ``length``, ``width``, ``thickness`` [m], turned by ``angle`` [rad].

    At angle 0 the force bends it across its thickness (soft), at 90 deg across its width (stiff).
    One value or one per variant each; ``youngs_modulus`` in Pa.
    """

    length: float | Array
    width: float | Array
    thickness: float | Array
    angle: float | Array
    youngs_modulus: float | Array = 206e9

    def __post_init__(self) -> None:
        check_length("length of the blade", self.length, 0.010, 1.0)
        check_length("width of the blade", self.width, 0.001, 0.200)
        check_length("thickness of the blade", self.thickness, 0.0005, 0.200)
        check_modulus("Young's modulus of the blade", self.youngs_modulus)

    @property
    def tip_compliance(self) -> Array:
        """Deflection of its tip along a force square to it, per force [m/N].

        ``L³ / (3 E) (cos²(angle) / I_flat + sin²(angle) / I_edge)`` with ``I_flat = w t³ / 12``, ``I_edge = t w³ / 12``:
        the force is split along the section's two main axes, each part bends the blade its own way, and what of both
        lies along the force is added. The tip is free to go sideways too. Source: unsymmetric bending of a cantilever,
        Gere, Mechanics of Materials; no transverse shear.

        >>> blade = Blade(0.150, 0.025, 0.006, 0.0)
        >>> round(float(1 / blade.tip_compliance) / 1e3, 3)
        82.4
        """
        flat, edge = self.second_moments
        square = np.sin(self.angle) ** 2
        return np.asarray(
            np.asarray(self.length) ** 3 / (3 * self.youngs_modulus) * ((1 - square) / flat + square / edge)
        )

    @property
    def second_moments(self) -> tuple[Array, Array]:
        """Second moments of area bent flat and on edge [m⁴]."""
        width, thickness = np.asarray(self.width), np.asarray(self.thickness)
        return np.asarray(width * thickness**3 / 12), np.asarray(thickness * width**3 / 12)

    def peak_stress(self, force: float | Array) -> Array:
        """Largest bending stress, at the clamp, ``F L (cos(angle) t / I_flat + sin(angle) w / I_edge) / 2`` [Pa].

        Args:
            force: square to the blade [N]

        """
        flat, edge = self.second_moments
        bent = (
            np.cos(self.angle) * np.asarray(self.thickness) / flat + np.sin(self.angle) * np.asarray(self.width) / edge
        )
        return np.asarray(force * np.asarray(self.length) * bent / 2)
