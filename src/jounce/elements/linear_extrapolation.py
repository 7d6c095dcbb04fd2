"""A law that goes straight on with its last slope beyond the place up to which it holds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.law import ElementLaw
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class LinearExtrapolation:
    """``law`` up to ``end``, beyond it a straight line with the force and the slope that it has there.

    Energy, force and stiffness are continuous. ``end`` [m or rad] is one value or one per variant.
    """

    law: ElementLaw
    end: float | Array

    def energy(self, displacement: Array) -> Array:
        """Stored energy [J]."""
        inside, beyond = self._split(displacement)
        rise = self.law.force(inside) * beyond + 0.5 * self.law.stiffness(inside) * beyond**2
        return np.asarray(self.law.energy(inside) + rise)

    def force(self, displacement: Array) -> Array:
        """Force [N or N m]."""
        inside, beyond = self._split(displacement)
        return np.asarray(self.law.force(inside) + self.law.stiffness(inside) * beyond)

    def stiffness(self, displacement: Array) -> Array:
        """Slope of the force, that of the law's end beyond it [N/m or N m/rad]."""
        return self.law.stiffness(self._split(displacement)[0])

    def _split(self, displacement: Array) -> tuple[Array, Array]:
        x, end = np.broadcast_arrays(np.asarray(displacement), np.asarray(self.end))
        inside = np.where(np.real(x) < np.real(end), x, end)
        return inside, np.asarray(x - inside)
