"""A spring whose rate rises in proportion to its force, as a tyre's does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.conventions.units import N_PER_MM
from jounce.elements.power_integral import power_integral
from jounce.numerics.arrays import Array

_SERIES_BELOW = 0.5
_TERMS = 16


@dataclass(frozen=True, slots=True)
class RisingRate:
    """``dF/dx = k + q F`` from where it touches: ``F = k (exp(q x) - 1) / q``.

    ``first_rate`` k [N/m] is the rate without load, ``per_force`` q [1/m] what each newton adds to it, ``start`` [m]
    where it touches; each one value or one per variant. With q of zero it is a straight spring.

    >>> tyre = RisingRate(first_rate=140e3, per_force=15.0)
    >>> (tyre.stiffness(np.array([0.02])) - 140e3 - 15 * tyre.force(np.array([0.02]))).round(6).tolist()
    [0.0]
    """

    first_rate: float | Array
    per_force: float | Array
    start: float | Array = 0.0

    def __post_init__(self) -> None:
        first = np.real(np.asarray(self.first_rate))
        if not np.all((first > 0) & np.isfinite(first)) or not np.all(np.asarray(self.per_force).real >= 0):
            raise InputError(
                "A rate that rises with the load must be above zero without load",
                found=f"{float(np.min(first)) / N_PER_MM:.6g} N/mm without load",
                todo="Check by how much the rate rises with the load.",
            )

    def energy(self, displacement: Array) -> Array:
        """``k x² (exp(z) - 1 - z) / z²`` with ``z = q x`` [J]."""
        x = self._pressed(displacement)
        return np.asarray(self.first_rate * x**2 * _second_rest(np.asarray(x * self.per_force)))

    def force(self, displacement: Array) -> Array:
        """Force, none before it touches [N]."""
        return np.asarray(self.first_rate * power_integral(self._pressed(displacement), self.per_force))

    def stiffness(self, displacement: Array) -> Array:
        """``k exp(q x)``, none before it touches [N/m]."""
        x = self._pressed(displacement)
        return np.asarray(np.where(np.real(x) > 0, self.first_rate * np.exp(self.per_force * x), 0.0))

    def displacement_at(self, force: Array) -> Array:
        """``start + ln(1 + q F / k) / q``; a negative force goes on along the first rate [m]."""
        give = np.asarray(force / np.asarray(self.first_rate))
        share = np.where(np.real(give) > 0, give * self.per_force, 0.0)
        small = np.abs(share) < 1e-4
        series = 1 - share * (1 / 2 - share * (1 / 3 - share * (1 / 4 - share / 5)))
        steady = np.where(small, 1.0, share)
        return np.asarray(self.start + give * np.where(small, series, np.log1p(steady) / steady))

    def _pressed(self, displacement: Array) -> Array:
        x = np.asarray(displacement - np.asarray(self.start))
        return np.asarray(np.where(np.real(x) > 0, x, 0.0))


def _second_rest(z: Array) -> Array:
    """``(exp(z) - 1 - z) / z²``, by its series where the difference would be lost in rounding."""
    small = np.abs(z) < _SERIES_BELOW
    near = np.where(small, z, 0.0)
    series = np.ones_like(near)
    for term in range(_TERMS, 2, -1):
        series = 1 + near / term * series
    far = np.where(small, 1.0, z)
    return np.asarray(np.where(small, 0.5 * series, (np.expm1(far) - far) / far**2))
