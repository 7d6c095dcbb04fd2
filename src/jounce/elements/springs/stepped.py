"""A spring whose rate rises by steps: loose, then one rate after another."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.law import OneSided
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class SteppedRate:
    """A sum of one-sided laws, the first to touch first: ``laws[k]`` adds its rate beyond its start.

    >>> law = SteppedRate((OneSided(4e3), OneSided(16e3, start=0.05)))
    >>> law.force(np.array([0.05, 0.06])).round(9).tolist()
    [200.0, 400.0]
    >>> law.displacement_at(np.array([100.0, 400.0])).round(12).tolist()
    [0.025, 0.06]
    """

    laws: tuple[OneSided, ...]

    @property
    def start(self) -> float | Array:
        """Displacement at which it begins to carry [m]."""
        return self.laws[0].start

    def energy(self, displacement: Array) -> Array:
        """Stored energy [J]."""
        return np.asarray(sum(law.energy(displacement) for law in self.laws))

    def force(self, displacement: Array) -> Array:
        """Force [N]."""
        return np.asarray(sum(law.force(displacement) for law in self.laws))

    def stiffness(self, displacement: Array) -> Array:
        """Sum of the rates that act [N/m]."""
        return np.asarray(sum(law.stiffness(displacement) for law in self.laws))

    def displacement_at(self, force: Array) -> Array:
        """Displacement under a force [m]; a negative force goes on along the first rate."""
        place = np.asarray(self.laws[0].start + np.asarray(force) / self.laws[0].rate)
        rate = np.asarray(self.laws[0].rate) * 1.0
        for law in self.laws[1:]:
            start, rate = np.asarray(law.start), rate + law.rate
            there = self.force(start)  # what it carries where the rate rises
            place = np.where(np.real(force) > there.real, start + (force - there) / rate, place)
        return np.asarray(place)
