"""Play before something bites: worn drop links leave the bar alone over a small angle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.springs.limits import check_not_negative
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import size


@dataclass(frozen=True, slots=True)
class FreePlay:
    """A linear element with play: nothing within ``± gap`` of zero displacement, then linear both ways.

    ``rate`` is N/m or N m/rad, ``gap`` half of the whole play [m or rad]; each one value or one per state.

    >>> law = FreePlay(rate=1000.0, gap=0.01)
    >>> law.force(np.array([-0.03, -0.01, 0.004, 0.02]))
    array([-20.,   0.,   0.,  10.])
    """

    rate: float | Array
    gap: float | Array

    def __post_init__(self) -> None:
        check_not_negative("rate of an element with play", self.rate, "N/m or N m/rad")
        check_not_negative("play", self.gap, "m or rad")

    def energy(self, displacement: Array) -> Array:
        """``rate (|x| - gap)² / 2`` beyond the gap [J]."""
        return np.asarray(0.5 * self.rate * self._taken_up(displacement) ** 2)

    def force(self, displacement: Array) -> Array:
        """``rate (x - gap)`` above the gap, ``rate (x + gap)`` below it, nothing between [N or N m]."""
        return np.asarray(self.rate * self._taken_up(displacement))

    def stiffness(self, displacement: Array) -> Array:
        """The rate where the play is taken up, else zero [N/m or N m/rad]."""
        return np.asarray(np.where(np.real(size(displacement) - self.gap) >= 0, self.rate, 0.0))

    def _taken_up(self, displacement: Array) -> Array:
        """Displacement beyond the play, with its sign."""
        above, below = displacement - self.gap, displacement + self.gap
        return np.asarray(np.where(np.real(above) > 0, above, np.where(np.real(below) < 0, below, 0.0)))
