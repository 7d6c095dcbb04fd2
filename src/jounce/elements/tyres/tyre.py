"""The tyre as a vertical spring: it pushes the wheel up while it touches the road and cannot pull it down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from jounce.conventions.errors import check_range
from jounce.elements.law import OneSided, Shifted, SpringLaw
from jounce.elements.springs.limits import check_not_negative
from jounce.elements.springs.progressive import SpringCurve
from jounce.elements.springs.rising_rate import RisingRate
from jounce.numerics.arrays import Array

PRESSURE_SHARE = 0.7
"""Part of the vertical stiffness that grows with the pressure, unless measured [-]; common practice."""


class VerticalTyre(Protocol):
    """What a tyre carries by its deflection."""

    def law_about(self, load: float | Array) -> SpringLaw:
        """The tyre over its deflection from where it stands under a load."""
        ...

    def deflection(self, load: float | Array) -> Array:
        """Deflection under a vertical load [N], zero or more, in m."""
        ...

    def stiffness(self, load: float | Array) -> Array:
        """Slope of the load over the deflection under a vertical load [N], in N/m."""
        ...

    def first(self) -> VerticalTyre:
        """The tyre of the first variant alone."""
        ...


@dataclass(frozen=True, slots=True)
class Tyre:
    """A tyre by its vertical stiffness (ISO 8855), constant or rising with the load.

    ``vertical_stiffness`` [N/m] is the slope of load over deflection at ``load`` [N]; each newton more adds ``per_load``
    [1/m] to it. Fields are one value or one per variant.
    Displacement is the tyre deflection, positive when the wheel centre comes nearer to the road.
    Assumes: the pressure and speed at which it was measured; no damping.

    >>> round(float(Tyre(180e3).deflection(2700.0)) * 1e3, 3)
    15.0
    >>> Tyre(180e3, per_load=15.0, load=2700.0).stiffness(np.array([2700.0, 3700.0])).tolist()
    [180000.0, 195000.0]
    """

    vertical_stiffness: float | Array
    per_load: float | Array = 0.0
    load: float | Array = 0.0

    def __post_init__(self) -> None:
        check_not_negative("vertical stiffness of the tyre", self.vertical_stiffness, "N/m")
        check_not_negative("rise of the tyre's stiffness with the load", self.per_load, "N/m per N")

    @property
    def law(self) -> OneSided | RisingRate:
        """The tyre over its deflection from first touch; without force when it is off the road."""
        return self._law(0.0)

    def law_about(self, load: float | Array) -> OneSided | RisingRate:
        """The tyre over its deflection from where it stands under a vertical load [N]; it lifts off at zero load."""
        return self._law(-self.deflection(load))

    def deflection(self, load: float | Array) -> Array:
        """Deflection under a vertical load [N], zero or more, in m."""
        check_not_negative("vertical load of the tyre", load, "N")
        return np.asarray(self._law(0.0).displacement_at(np.asarray(load)))

    def stiffness(self, load: float | Array) -> Array:
        """Slope of the load over the deflection under a vertical load [N], in N/m."""
        rise = np.asarray(self.per_load) * (load - np.asarray(self.load))
        return np.asarray(self.vertical_stiffness + rise)

    def first(self) -> Tyre:
        """The tyre of the first variant alone."""
        return Tyre(_first(self.vertical_stiffness), _first(self.per_load), _first(self.load))

    def _law(self, start: float | Array) -> OneSided | RisingRate:
        if not np.any(self.per_load):
            return OneSided(rate=self.vertical_stiffness, start=start)
        return RisingRate(self.stiffness(0.0), self.per_load, start)


@dataclass(frozen=True, slots=True)
class MeasuredTyre:
    """A tyre by rows of deflection and load, as it was pressed on a scale.

    ``curve`` is the load over the deflection from first touch; ``scale`` multiplies its loads, for another pressure,
    one value or one per variant.

    >>> tyre = MeasuredTyre(SpringCurve(np.array([0.010, 0.020]), np.array([1500.0, 3300.0])))
    >>> tyre.deflection(np.array([1500.0, 3300.0])).round(9).tolist()
    [0.01, 0.02]
    """

    curve: SpringCurve
    scale: float | Array = 1.0

    def law_about(self, load: float | Array) -> SpringLaw:
        """The tyre over its deflection from where it stands under a vertical load [N]; it lifts off at zero load."""
        return Shifted(_Scaled(self.curve, self.scale), self.deflection(load))

    def deflection(self, load: float | Array) -> Array:
        """Deflection under a vertical load [N], zero or more, in m."""
        check_not_negative("vertical load of the tyre", load, "N")
        return self.curve.displacement_at(np.asarray(load / np.asarray(self.scale)))

    def stiffness(self, load: float | Array) -> Array:
        """Slope of the load over the deflection under a vertical load [N], in N/m."""
        return np.asarray(self.scale * self.curve.stiffness(self.deflection(load)))

    def first(self) -> MeasuredTyre:
        """The tyre of the first variant alone."""
        return MeasuredTyre(self.curve, _first(self.scale))


@dataclass(frozen=True, slots=True)
class _Scaled:
    """A law with all its forces multiplied."""

    law: SpringCurve
    scale: float | Array

    @property
    def start(self) -> float:
        return 0.0

    def energy(self, displacement: Array) -> Array:
        return np.asarray(self.scale * self.law.energy(displacement))

    def force(self, displacement: Array) -> Array:
        return np.asarray(self.scale * self.law.force(displacement))

    def stiffness(self, displacement: Array) -> Array:
        return np.asarray(self.scale * self.law.stiffness(displacement))

    def displacement_at(self, force: Array) -> Array:
        return self.law.displacement_at(np.asarray(force / np.asarray(self.scale)))


def _first(value: float | Array) -> float:
    return float(np.ravel(np.real(np.asarray(value)))[0])


def pressure_factor(
    pressure: float | Array, measured_at: float | Array, share: float | Array = PRESSURE_SHARE
) -> Array:
    """What the vertical stiffness is multiplied by at another pressure: ``1 + share (p - p0) / p0``.

    Args:
        pressure: p, above the atmosphere, one value or one per variant [Pa]
        measured_at: p0, at which the stiffness was measured, likewise [Pa]
        share: part of the stiffness that grows with the pressure, the rest is the casing's, likewise [-]

    Returns:
        Factor [-]

    Valid for: pressures within half of the measured one.
    Source: the linear pressure term of the vertical force of Magic Formula 6.1 (Pacejka, Tire and Vehicle Dynamics, 3rd
    ed. 2012, from memory); the share itself is common practice.

    >>> float(pressure_factor(2.4e5, 2.0e5).round(6))
    1.14

    """
    ratio = np.asarray(pressure / np.asarray(measured_at))
    check_range("tyre pressure", np.real(ratio), 0.5, 1.5, "of that at which the rate was measured", "Measure again.")
    return np.asarray(1 + share * (ratio - 1))
