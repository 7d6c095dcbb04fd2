"""Lateral force of a tyre by Magic Formula 6.1: pure side slip, no camber, nominal pressure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.elements.tyres.magic_formula import MagicShape
from jounce.numerics.arrays import Array

_NO_LOAD = 1e-3  # below it a tyre gives nothing [N]
NEEDED = ("pCy1", "pDy1", "pDy2", "pEy1", "pEy2", "pEy3", "pKy1", "pKy2", "pKy4")
SHIFTS = ("pVy1", "pVy2", "pHy1", "pHy2")
"""Coefficients of the source without camber and pressure: those of the curve, and those that shift it."""


@dataclass(frozen=True, slots=True)
class MagicFormula61:
    """Coefficients of the pure lateral force, named as in the source.

    ``signed_force`` has the signs of the source (a positive slip angle gives a negative force); ``force`` and the rest
    count slip and force in one sense and leave out what makes a tyre pull to one side: the shifts, and the difference
    of curvature between the two senses. Shifts that are not given are zero.
    ``grip`` multiplies the peak and leaves the cornering stiffness. The slip angle itself stands for the source's
    tangent of it: at 8 deg the force differs by 0.1 %.

    Valid for: zero camber, nominal pressure, free rolling, loads up to ``known_to`` [N].
    Source: H. B. Pacejka, Tire and Vehicle Dynamics, 3rd edition (2012), chapter 4.3, Eqs. 4.E19 to 4.E29.

    >>> from jounce.elements.tyres.tyre_lateral import EXAMPLE_205_60_R15
    >>> EXAMPLE_205_60_R15.signed_force(np.array([4000.0]), np.radians([-4.0])).round(1).tolist()
    [2932.2]
    """

    nominal_load: float
    coefficients: Mapping[str, float]
    grip: float = 1.0
    known_to: float = 8000.0

    def __post_init__(self) -> None:
        missing = [name for name in NEEDED if name not in self.coefficients]
        if missing:
            raise InputError(
                "The lateral law of Magic Formula 6.1 lacks coefficients",
                found=", ".join(self.coefficients) or "none",
                allowed=", ".join((*NEEDED, *SHIFTS)),
                todo=f"Add {', '.join(missing)}.",
            )
        check_range("grip of the tyre", self.grip, 0.1, 3.0, "", "1 is the grip of the coefficients.")
        check_range("nominal load of the tyre", self.nominal_load, 200, 50_000, "N", "Give it in newtons.")

    def signed_force(self, load: Array, slip_angle: Array) -> Array:
        """Force along the wheel's axis with the shifts of ply steer and cone, signs of the source [N].

        Args:
            load: vertical [N]
            slip_angle: of the wheel, any shape that broadcasts [rad]

        """
        more = self._more(load)
        x = np.asarray(slip_angle + self._of("pHy1") + self._of("pHy2") * more)
        shift = self._loaded(load) * (self._of("pVy1") + self._of("pVy2") * more)
        return self._touching(load, self._shape(load, x).value(x) + shift)

    def force(self, load: Array, slip: Array) -> Array:
        """Lateral force at a slip angle [rad] under a vertical load [N], in N."""
        return self.curve(load).value(slip)

    def stiffness(self, load: Array, slip: Array) -> Array:
        """Its derivative by slip; at no slip the cornering stiffness [N/rad]."""
        return self.curve(load).slope(slip)

    def peak_slip(self, load: Array) -> Array:
        """Slip at which it gives most under a load [N], in rad."""
        return self.curve(load).peak_slip()

    def peak(self, load: Array) -> Array:
        """Most that it gives under a load [N], in N."""
        return self.curve(load).peak

    def curve(self, load: Array) -> MagicShape:
        """Force [N] over slip [rad] under loads [N], any shape; it gives nothing off the road."""
        even = self._even_shape(load)
        return MagicShape(self._touching(load, even.peak), even.shape, np.asarray(-even.factor), even.curvature)

    def known(self, load: Array) -> Array:
        """Whether the coefficients reach a load [N], true or false [-]."""
        return np.asarray(np.real(load) <= self.known_to)

    def friction(self, load: Array) -> Array:
        """Peak lateral force per load [N], in [-]."""
        return np.asarray(self.grip * (self._of("pDy1") + self._of("pDy2") * self._more(load)))

    def cornering_stiffness(self, load: Array) -> Array:
        """Slope at no slip in the signs of the source, below zero, under a load [N], in N/rad."""
        held = self._loaded(load) / (self._of("pKy2") * self.nominal_load)
        return np.asarray(self._of("pKy1") * self.nominal_load * np.sin(self._of("pKy4") * np.arctan(held)))

    def _of(self, name: str) -> float:
        return self.coefficients.get(name, 0.0)

    def _shape(self, load: Array, x: Array) -> MagicShape:
        even = self._even_shape(load)
        lean = np.where(np.real(x) < 0, 1 + self._of("pEy3"), 1 - self._of("pEy3"))
        return MagicShape(even.peak, even.shape, even.factor, np.asarray(even.curvature * lean))

    def _even_shape(self, load: Array) -> MagicShape:
        peak = np.asarray(self.friction(load) * self._loaded(load))
        factor = np.asarray(self.cornering_stiffness(load) / (self._of("pCy1") * peak))
        return MagicShape(
            peak,
            np.asarray(self._of("pCy1")),
            factor,
            np.asarray(self._of("pEy1") + self._of("pEy2") * self._more(load)),
        )

    def _more(self, load: Array) -> Array:
        return np.asarray(self._loaded(load) / self.nominal_load - 1)

    def _loaded(self, load: Array) -> Array:
        return np.asarray(np.where(np.real(load) > _NO_LOAD, load, _NO_LOAD))

    def _touching(self, load: Array, value: Array) -> Array:
        return np.asarray(np.where(np.real(load) > _NO_LOAD, value, 0.0))
