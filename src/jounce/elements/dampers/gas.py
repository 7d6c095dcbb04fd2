"""The gas in a damper as a spring: it pushes the rod out, ever harder as the rod comes in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import MM
from jounce.elements.linear_extrapolation import LinearExtrapolation
from jounce.elements.power_integral import power_integral
from jounce.elements.springs.limits import check_not_negative
from jounce.numerics.arrays import Array

ATMOSPHERE = 101325.0
"""Standard atmosphere, which pushes the rod in [Pa]; ISO 2533."""

ISOTHERMAL = 1.0
"""Polytropic exponent of a gas that is pressed slowly; 1.4 for air and nitrogen too fast to give off heat [-]."""

_MOST_PRESSED = 0.05  # share of the gas volume that is left where the law goes straight on [-]


@dataclass(frozen=True, slots=True)
class GasColumn:
    """Gas of which the rod takes room: ``F = p A (V / (V - A x))^n - p_a A``.

    ``force_here`` [N] pushes the rod out where the compression ``x`` is counted from, ``volume`` V [m³] is that of the
    gas there; ``rod_area`` A [m²] is the area of the rod, ``exponent`` n is 1 for slow and 1.4 for fast strokes. The
    absolute pressure there is ``p = force_here / A + p_a`` with the atmosphere ``p_a``. Fields are one value or one per
    variant.

    Valid for: the gas and the oil in one tube or apart, as long as only the rod's own volume presses the gas; rod
    strokes that leave gas, ``A x < V``.
    Source: polytropic change of an ideal gas.

    >>> gas = GasColumn(force_here=150.0, volume=60e-6, rod_area=np.pi / 4 * 0.011**2)
    >>> gas.force(np.array([-0.05, 0.0, 0.10])).round(1).tolist()
    [138.3, 150.0, 180.0]
    """

    force_here: float | Array
    volume: float | Array
    rod_area: float | Array
    exponent: float | Array = ISOTHERMAL

    def energy(self, displacement: Array) -> Array:
        """Work done on the gas, less that of the atmosphere, from where x is counted [J]."""
        gas = -self._push * np.asarray(self.volume) / self.rod_area
        area = gas * power_integral(self._log_left(displacement), 1 - np.asarray(self.exponent))
        return np.asarray(area - ATMOSPHERE * np.asarray(self.rod_area) * displacement)

    def force(self, displacement: Array) -> Array:
        """Force that pushes the rod out [N]."""
        pushed = self._push * np.exp(-np.asarray(self.exponent) * self._log_left(displacement))
        return np.asarray(pushed - ATMOSPHERE * np.asarray(self.rod_area))

    def stiffness(self, displacement: Array) -> Array:
        """``n p A² / V`` where x is counted from, steeper as the gas is pressed [N/m]."""
        n = np.asarray(self.exponent)
        steep = n * self._push * self.rod_area / np.asarray(self.volume)
        return np.asarray(steep * np.exp(-(n + 1) * self._log_left(displacement)))

    @property
    def _push(self) -> Array:
        """Force of the gas alone where x is counted from [N]."""
        return np.asarray(self.force_here + ATMOSPHERE * np.asarray(self.rod_area))

    def _log_left(self, displacement: Array) -> Array:
        return np.asarray(np.log1p(-np.asarray(displacement) * self.rod_area / np.asarray(self.volume)))


def gas_spring(
    force: float | Array, volume: float | Array, rod_diameter: float | Array, exponent: float | Array = ISOTHERMAL
) -> LinearExtrapolation:
    """A damper's gas as a law over the compression from where its force and volume are known.

    Where a twentieth of the gas volume is left the law goes straight on: no damper goes so far.

    Args:
        force: pushing the rod out there, one value or one per variant [N]
        volume: of the gas there, likewise [m³]
        rod_diameter: of the rod, likewise [m]
        exponent: polytropic, 1 to 1.4, likewise [-]

    Raises:
        InputError: a volume, rod or exponent that no damper has

    """
    check_not_negative("gas force of the damper", np.asarray(force).real, "N")
    check_range("gas volume of the damper", np.real(np.asarray(volume)) * 1e6, 0.5, 5000, "cm³", "Check its unit.")
    check_range("rod diameter of the damper", np.real(np.asarray(rod_diameter)) / MM, 3, 80, "mm", "Check its unit.")
    check_range("polytropic exponent of the gas", np.asarray(exponent).real, 0.8, 1.9, "", "1 is slow, 1.4 fast.")
    area = np.asarray(np.pi / 4 * np.asarray(rod_diameter) ** 2)
    return LinearExtrapolation(
        GasColumn(force, volume, area, exponent), (1 - _MOST_PRESSED) * np.asarray(volume) / area
    )


def check_gas_room(volume: float, rod_diameter: float, travel: float) -> None:
    """Refuse a gas volume that the rod would fill before the damper is closed.

    Args:
        volume: of the gas where the travel begins [m³]
        rod_diameter: of the rod [m]
        travel: of the rod from there until closed [m]

    Raises:
        InputError: no gas would be left

    """
    needed = np.pi / 4 * rod_diameter**2 * travel
    if needed >= (1 - _MOST_PRESSED) * volume:
        raise InputError(
            "The rod needs more room than the damper's gas has",
            found=f"{volume * 1e6:.6g} cm³ of gas, {needed * 1e6:.6g} cm³ of rod until closed",
            todo="Measure rod diameter and gas volume again; the volume is that at the length as found.",
        )
