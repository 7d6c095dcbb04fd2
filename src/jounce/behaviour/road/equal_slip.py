"""Two tyres of one axle run at one slip angle: the loaded one gives more, but less than its share of the load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.tyres.shared_slip import shared_force, shared_slip
from jounce.elements.tyres.tyre_lateral import PeakedLaw
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class EqualSlip:
    """An axle whose two tyres share one slip angle.

    Attributes:
        tyre: lateral law of each tyre

    """

    tyre: PeakedLaw

    def lateral(self, load: Array, demand: Array) -> Array:
        """See `sharing.Sharing`; beyond what the tyres can give they share as they do at their best slip."""
        return shared_force(self.tyre, load, demand)

    def slip(self, load: Array, demand: Array) -> Array:
        """Slip angle of the axle in the sense of its force; the best one where it cannot give as much.

        Args:
            load: vertical loads, left and right, shape (states, 2) [N]
            demand: lateral force of the axle, shape (states,) [N]

        Returns:
            Shape (states,) [rad]
        """
        return shared_slip(self.tyre, load, demand).slip

    def most(self, load: Array) -> Array:
        """Largest lateral force of the axle at any slip, for loads of shape (states, 2) [N], in N."""
        return shared_slip(self.tyre, load, np.zeros(len(load))).most
