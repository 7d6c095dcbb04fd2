"""Dampers: lengths between which they work, what ends their stroke, gas force on the rod, force over rod speed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.conventions.units import MM
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.elements.dampers.gas import ISOTHERMAL, gas_spring
from jounce.elements.law import Law, Linear, OneSided
from jounce.elements.springs.limits import check_length, check_not_negative
from jounce.numerics.arrays import Array

__all__ = ["Damper", "ForceVelocity"]


@dataclass(frozen=True, slots=True)
class Damper:
    """A damper between two eyes: lengths in m, gas force in N, fields one value or one per variant.

    ``closed_length`` is where it is metal to metal, ``open_length`` where it tops out. ``gas_force`` pushes the rod out;
    it stays the same over the stroke unless ``gas_volume`` [m³] and ``rod_diameter`` tell how it rises, both at the
    length where the gas force is known. Without a curve the force over speed is not known.

    >>> damper = Damper(closed_length=0.320, open_length=0.480, gas_force=120.0)
    >>> round(float(damper.stroke) * 1e3, 6), round(float(damper.bump_left(0.390)) * 1e3, 6)
    (160.0, 70.0)
    """

    closed_length: float | Array
    open_length: float | Array
    gas_force: float | Array = 0.0
    curve: ForceVelocity | None = None
    gas_volume: float | Array | None = None
    rod_diameter: float | Array | None = None
    gas_exponent: float | Array = ISOTHERMAL

    def __post_init__(self) -> None:
        check_length("closed length of the damper", self.closed_length, 0.010, 3.0)
        check_length("open length of the damper", self.open_length, 0.010, 3.0)
        check_not_negative("gas force of the damper", self.gas_force, "N")
        opened, closed = np.broadcast_arrays(np.asarray(self.open_length, float), np.asarray(self.closed_length, float))
        bad = np.flatnonzero(opened <= closed)
        if bad.size:
            raise InputError(
                "The damper is not longer open than closed",
                found=f"{opened.flat[bad[0]] / MM:.6g} mm open",
                allowed=f"more than {closed.flat[bad[0]] / MM:.6g} mm",
                todo="Exchange the two lengths or measure again.",
            )

    @property
    def stroke(self) -> Array:
        """Travel of the rod from open to closed [m]."""
        return np.asarray(np.asarray(self.open_length) - self.closed_length)

    @property
    def gas_law(self) -> Law:
        """The gas force over the damper's compression from the length where it is known; it pushes the ends apart."""
        if self.gas_volume is None or self.rod_diameter is None:
            return Linear(rate=0.0, preload=self.gas_force)
        return gas_spring(self.gas_force, self.gas_volume, self.rod_diameter, self.gas_exponent)

    def end_laws(self, length: float | Array, rate: float | Array) -> tuple[OneSided, OneSided]:
        """What pushes where the stroke ends: metal on metal as a stiff straight spring.

        Args:
            length: from which compression and extension are counted, between the eyes [m]
            rate: of either end with what gives around it [N/m]

        Returns:
            The closed end over the compression from that length, the open end over the extension from it

        """
        return OneSided(rate, self.bump_left(length)), OneSided(rate, self.droop_left(length))

    def bump_left(self, length: float | Array) -> Array:
        """Travel left until the damper is closed at a length between its eyes [m]; negative: shorter than it can be."""
        return np.asarray(np.asarray(length) - self.closed_length)

    def droop_left(self, length: float | Array) -> Array:
        """Travel left until the damper tops out at a length between its eyes [m]; negative: longer than it can be."""
        return np.asarray(np.asarray(self.open_length) - length)
