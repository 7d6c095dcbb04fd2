"""The round section of a bar, solid or hollow: what it resists with, and how stresses follow from section loads."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import check_range
from jounce.elements.springs.limits import check_bore, check_length, check_modulus
from jounce.numerics.arrays import Array
from jounce.numerics.space_frame import BeamSection

STEEL_DENSITY = 7850.0
"""Spring steel [kg/m³]; source: EN 13906-1, as given in a public transcription."""


@dataclass(frozen=True, slots=True)
class RoundSection:
    """A round section; every field one value or one per variant: diameters [m], modulus [Pa].

    >>> section = RoundSection(0.020)
    >>> round(float(section.second_moment) * 1e12, 3)
    7853.982
    """

    diameter: float | Array
    inner_diameter: float | Array = 0.0
    youngs_modulus: float | Array = 206e9
    poisson: float | Array = 0.3

    def __post_init__(self) -> None:
        check_length("bar diameter", self.diameter, 0.001, 0.200)
        check_bore("anti-roll bar", self.diameter, self.inner_diameter)
        check_modulus("Young's modulus of the bar", self.youngs_modulus)
        check_range("Poisson's ratio", np.asarray(self.poisson) * 1.0, 0, 0.5, "", "Steel has about 0.3.")

    @property
    def area(self) -> Array:
        """Area of the steel [m²]."""
        return np.asarray(np.pi * (np.asarray(self.diameter) ** 2 - np.asarray(self.inner_diameter) ** 2) / 4)

    @property
    def second_moment(self) -> Array:
        """Second moment of area about a diameter [m⁴]; the polar one is twice that."""
        return np.asarray(np.pi * (np.asarray(self.diameter) ** 4 - np.asarray(self.inner_diameter) ** 4) / 64)

    @property
    def shear_modulus(self) -> Array:
        """``G = E / (2 (1 + nu))`` [Pa]."""
        return np.asarray(self.youngs_modulus / (2 * (1 + np.asarray(self.poisson))))

    @property
    def shear_coefficient(self) -> Array:
        """Share of the area that resists transverse shear.

        ``6 (1 + nu) (1 + m²)² / ((7 + 6 nu) (1 + m²)² + (20 + 12 nu) m²)`` with m the bore over the diameter [-].
        Source: G. R. Cowper, The shear coefficient in Timoshenko's beam theory, J. Appl. Mech. 33 (1966); from memory.
        """
        nu, bore = np.asarray(self.poisson), (np.asarray(self.inner_diameter) / self.diameter) ** 2
        square = (1 + bore) ** 2
        return np.asarray(6 * (1 + nu) * square / ((7 + 6 * nu) * square + (20 + 12 * nu) * bore))

    @property
    def resists(self) -> BeamSection:
        """Stiffnesses of the section."""
        bending = self.youngs_modulus * self.second_moment
        return BeamSection(
            axial=np.asarray(self.youngs_modulus * self.area),
            shear=np.asarray(self.shear_modulus * self.area * self.shear_coefficient),
            bending=np.asarray(bending),
            torsion=np.asarray(2 * self.shear_modulus * self.second_moment),
        )

    def neutral_offset(self, radius: float | Array) -> Array:
        """How far the neutral line of a bend lies inside its centre line [m].

        ``R - A / integral(dA / r)``, of a ring ``(c_i² / (R + sqrt(R² - c_i²)) + c² / (R + sqrt(R² - c²))) / 2``.

        Args:
            radius: of the bend, to the centre line; more than half the diameter [m]

        Source: Winkler's theory of curved bars, Gere, Mechanics of Materials; worked out here for a ring section.
        """
        edges = (np.asarray(self.diameter) / 2, np.asarray(self.inner_diameter) / 2)
        return np.asarray(sum(edge**2 / (radius + np.sqrt(radius**2 - edge**2)) for edge in edges) / 2)

    def bend_factor(self, radius: float | Array) -> Array:
        """How much larger the bending stress at the inside of a bend is than in a straight bar [-].

        ``(c - e) / (A e (R - c)) · I / c`` with the neutral line's offset e.

        Args:
            radius: of the bend, to the centre line; more than half the diameter [m]

        Returns:
            The factor, 1 for a straight bar

        Source: as `neutral_offset`.
        """
        outer, offset = np.asarray(self.diameter) / 2, self.neutral_offset(radius)
        return np.asarray((outer - offset) * self.second_moment / (self.area * offset * (radius - outer) * outer))

    def mass(self, length: float | Array, density: float | Array = STEEL_DENSITY) -> Array:
        """Mass of a bar of this section [kg].

        Args:
            length: along the centre line [m]
            density: of the steel [kg/m³]

        """
        return np.asarray(self.area * length * density)

    def equal_tube_bore(self, diameter: float | Array) -> Array:
        """Bore of a tube of another outer diameter with the same second moment, so the same rate of a bar [m].

        Args:
            diameter: outer diameter of the tube, no less than this section's own solid equivalent [m]

        """
        left = np.asarray(diameter) ** 4 - 64 * self.second_moment / np.pi
        return np.asarray(np.where(left >= 0, np.maximum(left, 0) ** 0.25, np.nan))

    @property
    def solid_equivalent(self) -> Array:
        """Diameter of a solid section with the same second moment, ``(d⁴ - d_i⁴)^(1/4)`` [m]."""
        return np.asarray((np.asarray(self.diameter) ** 4 - np.asarray(self.inner_diameter) ** 4) ** 0.25)
