"""Energy laws of elements: energy, force (its derivative) and stiffness (its second derivative).

A law knows one displacement, positive in the sense that loads the element: compression, wind-up, deflection.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol, runtime_checkable

import numpy as np

from jounce.elements.springs.limits import check_not_negative
from jounce.numerics.arrays import Array


class ElementLaw(Protocol):
    """What an element stores and pushes for its own displacement [m or rad]."""

    def energy(self, displacement: Array) -> Array:
        """Stored energy V [J]."""
        ...

    def force(self, displacement: Array) -> Array:
        """``dV/dx`` [N or N m]."""
        ...

    def stiffness(self, displacement: Array) -> Array:
        """``d²V/dx²`` [N/m or N m/rad]."""
        ...


@runtime_checkable
class SpringLaw(ElementLaw, Protocol):
    """A law that rises from where it begins to carry, so that each load has one displacement."""

    @property
    def start(self) -> float | Array:
        """Displacement at which it carries nothing and beyond which it pushes [m or rad]."""
        ...

    def displacement_at(self, force: Array) -> Array:
        """Displacement under a force [m or rad]; a negative one goes on along the first slope of a law that only pushes."""
        ...


@dataclass(frozen=True, slots=True)
class Linear:
    """An element that pushes both ways: ``V = preload x + rate x² / 2``.

    ``rate`` is N/m or N m/rad, ``preload`` N or N m, each one value or one per state.
    """

    rate: float | Array
    preload: float | Array = 0.0

    def energy(self, displacement: Array) -> Array:
        """Stored energy, zero at zero displacement [J]."""
        return np.asarray(self.preload * displacement + 0.5 * self.rate * displacement**2)

    def force(self, displacement: Array) -> Array:
        """``preload + rate x`` [N or N m]."""
        return np.asarray(self.preload + self.rate * displacement)

    def stiffness(self, displacement: Array) -> Array:
        """The rate [N/m or N m/rad]."""
        return np.asarray(self.rate * np.ones_like(displacement))

    @property
    def start(self) -> Array:
        """Displacement at which the preload is used up [m or rad]."""
        return np.asarray(-np.asarray(self.preload) / self.rate)

    def displacement_at(self, force: Array) -> Array:
        """``(F - preload) / rate`` [m or rad]."""
        return np.asarray((force - np.asarray(self.preload)) / self.rate)


@dataclass(frozen=True, slots=True)
class OneSided:
    """An element that can come loose: it pushes only beyond ``start`` (a coil between seats, a tyre on the road).

    ``rate`` is N/m or N m/rad, ``start`` m or rad, each one value or one per state. A start of plus infinity never
    acts.
    """

    rate: float | Array
    start: float | Array = 0.0

    def __post_init__(self) -> None:
        check_not_negative("spring rate", self.rate, "N/m or N m/rad")

    def energy(self, displacement: Array) -> Array:
        """``rate (x - start)² / 2`` beyond the start [J]."""
        return np.asarray(0.5 * self.rate * np.maximum(displacement - self.start, 0) ** 2)

    def force(self, displacement: Array) -> Array:
        """``rate (x - start)`` beyond the start [N or N m]."""
        return np.asarray(self.rate * np.maximum(displacement - self.start, 0))

    def stiffness(self, displacement: Array) -> Array:
        """The rate beyond the start, else zero [N/m or N m/rad]."""
        return np.asarray(np.where(displacement > self.start, self.rate, 0.0))

    def displacement_at(self, force: Array) -> Array:
        """``start + F / rate`` [m or rad]."""
        return np.asarray(self.start + np.asarray(force) / self.rate)


@dataclass(frozen=True, slots=True)
class Parallel:
    """Laws that share one displacement: energies, forces and stiffnesses add up."""

    laws: tuple[ElementLaw, ...]

    def energy(self, displacement: Array) -> Array:
        """Sum of the stored energies [J]."""
        return np.asarray(sum(law.energy(displacement) for law in self.laws))

    def force(self, displacement: Array) -> Array:
        """Sum of the forces [N or N m]."""
        return np.asarray(sum(law.force(displacement) for law in self.laws))

    def stiffness(self, displacement: Array) -> Array:
        """Sum of the stiffnesses [N/m or N m/rad]."""
        return np.asarray(sum(law.stiffness(displacement) for law in self.laws))


@dataclass(frozen=True, slots=True)
class Shifted:
    """A spring that is already loaded where its displacement is counted from: it is displaced by ``by`` there [m or rad].

    ``by`` is one value or one per variant.
    """

    law: SpringLaw
    by: float | Array

    def energy(self, displacement: Array) -> Array:
        """Energy of the law at ``x + by`` [J]."""
        return self.law.energy(np.asarray(displacement + self.by))

    def force(self, displacement: Array) -> Array:
        """Force of the law at ``x + by`` [N or N m]."""
        return self.law.force(np.asarray(displacement + self.by))

    def stiffness(self, displacement: Array) -> Array:
        """Stiffness of the law at ``x + by`` [N/m or N m/rad]."""
        return self.law.stiffness(np.asarray(displacement + self.by))

    @property
    def start(self) -> Array:
        """Where the law begins to carry, counted from here [m or rad]."""
        return np.asarray(self.law.start - self.by)

    def displacement_at(self, force: Array) -> Array:
        """Displacement under a force, counted from here [m or rad]."""
        return np.asarray(self.law.displacement_at(force) - self.by)
