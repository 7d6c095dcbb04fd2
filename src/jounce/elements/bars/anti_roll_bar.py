"""Anti-roll bar with straight arms: its rate from torsion of the shaft and bending of arms and shaft."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import check_range
from jounce.elements.springs.limits import check_bore, check_length, check_modulus
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class StraightArmBar:
    """Half a symmetric bar: an arm, the piece from the bend to the bush, the piece from the bush to the middle.

    ``arm_across`` is the arm's extent across the car, ``lever`` its extent along the car, ``bend_to_bush`` and
    ``bush_to_middle`` lengths of the shaft, diameters, all in m; ``youngs_modulus`` in Pa, ``poisson`` without unit.
    One value or one per variant each. The ends are loaded against each other, square to the plane of the bar.

    Assumes: sharp bends, slender arms and shaft (no transverse shear), small deflections; bushes free to turn that do
    not give. ``arm_across`` is negative where an arm leans inward from its bend.

    >>> bar = StraightArmBar(0.020, lever=0.250, arm_across=0.080, bend_to_bush=0.060, bush_to_middle=0.400)
    >>> round(float(bar.end_rate) / 1e3, 4)
    34.5999
    """

    diameter: float | Array
    lever: float | Array
    arm_across: float | Array
    bend_to_bush: float | Array
    bush_to_middle: float | Array
    inner_diameter: float | Array = 0.0
    youngs_modulus: float | Array = 206e9
    poisson: float | Array = 0.3

    def __post_init__(self) -> None:
        check_length("bar diameter", self.diameter, 0.001, 0.200)
        check_bore("anti-roll bar", self.diameter, self.inner_diameter)
        check_length("lever of the bar's arm", self.lever, 0.010, 2.0)
        check_length("bend to bush", self.bend_to_bush, 0.0, 2.0)
        check_length("bush to the middle of the bar", self.bush_to_middle, 0.010, 2.0)
        check_modulus("Young's modulus of the bar", self.youngs_modulus)
        check_range("Poisson's ratio", np.asarray(self.poisson) * 1.0, 0, 0.5, "", "Steel has about 0.3.")
        half_span = np.asarray(self.span) / 2
        check_length("half of the bar's width", half_span, 0.010, 2.0)

    @property
    def arm_length(self) -> Array:
        """True length of an arm, from its bend to its end [m]."""
        return np.asarray(np.sqrt(np.asarray(self.arm_across) ** 2 + np.asarray(self.lever) ** 2))

    @property
    def span(self) -> Array:
        """Width of the bar from arm end to arm end [m]."""
        return np.asarray(2 * (np.asarray(self.arm_across) + self.bend_to_bush + self.bush_to_middle))

    @property
    def shear_modulus(self) -> Array:
        """``G = E / (2 (1 + nu))`` [Pa]."""
        return np.asarray(self.youngs_modulus / (2 * (1 + np.asarray(self.poisson))))

    @property
    def end_compliance(self) -> Array:
        """Deflection of an end per force, the ends loaded against each other [m/N].

        ``(l³ - a³ + (L/2)(a + b)² + 3 (1 + nu) h² (b + c)) / (3 E I)`` with the arm's true length l, its extents a
        across and h along, and half the bar's width L/2 = a + b + c. Source: strain energy of the half bar; the
        printed handbook formula has 4 in place of 3 (1 + nu), 2 % softer at nu = 0.3.
        """
        return self._end_compliance(3 * (1 + np.asarray(self.poisson)))

    @property
    def end_compliance_handbook(self) -> Array:
        """The same with the handbook's 4 for 3 (1 + nu) [m/N]; source: SAE Spring Design Manual, quoted from memory."""
        return self._end_compliance(4.0)

    @property
    def end_compliance_torsion_only(self) -> Array:
        """Deflection of an end per force if only the shaft gave, by twisting [m/N]: too stiff, to compare with."""
        twisted = np.asarray(self.bend_to_bush) + self.bush_to_middle
        return np.asarray(np.asarray(self.lever) ** 2 * twisted / (self.shear_modulus * 2 * self._second_moment))

    @property
    def end_rate(self) -> Array:
        """Force at an end per deflection of that end, ends loaded against each other [N/m]."""
        return np.asarray(1 / self.end_compliance)

    @property
    def twist_rate(self) -> Array:
        """Torque per angle between the two arms, ``end_rate lever² / 2`` [N m/rad]."""
        return np.asarray(self.end_rate * np.asarray(self.lever) ** 2 / 2)

    @property
    def roll_stiffness(self) -> Array:
        """Moment per angle of the line through both arm ends, ``end_rate span² / 2`` [N m/rad]."""
        return np.asarray(self.end_rate * self.span**2 / 2)

    def shaft_shear_stress(self, end_force: float | Array) -> Array:
        """Shear stress at the surface of the shaft under a force at each end [N], in Pa."""
        torque = end_force * np.asarray(self.lever)
        return np.asarray(torque * np.asarray(self.diameter) / (4 * self._second_moment))

    def peak_von_mises_stress(self, end_force: float | Array) -> Array:
        """Largest equivalent stress under a force at each end [N], in Pa.

        At the shaft by the bush, ``sqrt(sigma² + 3 tau²)`` of the bending moment ``F (a + b)`` and the torque ``F h``,
        or at the arm's root, bending ``F l`` alone. Nominal: notches, bends and transverse shear are not in it.
        """
        bending = np.asarray(self.diameter) / (2 * self._second_moment)
        overhang = np.asarray(self.arm_across) + self.bend_to_bush
        # The shaft's bending moment is straight between bend and bush: the larger of the two ends counts.
        moment = end_force * np.maximum(np.abs(overhang), np.abs(np.asarray(self.arm_across)))
        shaft = np.sqrt((moment * bending) ** 2 + 3 * self.shaft_shear_stress(end_force) ** 2)
        return np.asarray(np.maximum(shaft, np.abs(end_force * self.arm_length * bending)))

    @property
    def _second_moment(self) -> Array:
        return np.asarray(np.pi * (np.asarray(self.diameter) ** 4 - np.asarray(self.inner_diameter) ** 4) / 64)

    def _end_compliance(self, torsion: float | Array) -> Array:
        a, b, c = (np.asarray(x) for x in (self.arm_across, self.bend_to_bush, self.bush_to_middle))
        bending = self.arm_length**3 - a**3 + (a + b + c) * (a + b) ** 2
        twisting = torsion * np.asarray(self.lever) ** 2 * (b + c)
        return np.asarray((bending + twisting) / (3 * self.youngs_modulus * self._second_moment))
