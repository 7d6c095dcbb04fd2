"""Two tyres of one axle run at one slip angle: the loaded one gives more, but less than its share of the load."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from jounce.numerics.arrays import Array

_STEPS = 30
_LARGEST = np.radians(20.0)  # slip at which tyres slide as a whole [rad]
_ANGLES = np.radians(np.linspace(0.25, 20.0, 80))
_STILL = 1e-12  # change of slip at which it is found [rad]


class LateralLaw(Protocol):
    """Lateral force of a tyre by its load and slip, without camber."""

    def force(self, load: Array, slip: Array) -> Array:
        """Size of the lateral force for a slip of zero or more [rad] under a load [N], in N."""
        ...

    def stiffness(self, load: Array, slip: Array) -> Array:
        """Its derivative by slip [N/rad]."""
        ...


@dataclass(frozen=True, slots=True)
class EqualSlip:
    """An axle whose two tyres share one slip angle.

    Attributes:
        tyre: lateral law of each tyre

    """

    tyre: LateralLaw

    def slip(self, load: Array, demand: Array) -> Array:
        """Slip angle at which the axle gives a force; the largest known where it cannot.

        Args:
            load: vertical loads, left and right, shape (states, 2) [N]
            demand: lateral force of the axle, shape (states,) [N]

        Returns:
            Slip in the sense of the force, shape (states,) [rad]
        """
        sense = np.where(demand.real < 0, -1.0, 1.0)
        wanted = sense * demand
        slip = np.zeros(len(demand))
        # The curve bends down: from no slip the steps come nearer without ever passing the answer.
        for _ in range(_STEPS):
            given, slope = self._sum(load.real, slip)
            step = (wanted.real - given) / np.maximum(slope, 1e-9)
            slip = np.clip(slip + step, 0.0, _LARGEST)
            if np.abs(step)[slip < _LARGEST].max(initial=0.0) < _STILL:
                break
        given, slope = self._sum(load, slip)  # one step more carries what perturbs load and demand
        change = np.where(slip < _LARGEST, (wanted - given) / np.where(slope.real > 1.0, slope, 1.0), 0.0)
        return np.asarray(sense * (slip + change))

    def lateral(self, load: Array, demand: Array) -> Array:
        """See `sharing.Sharing`; beyond what the tyres can give they share as they do at the largest slip."""
        slip = self.slip(load, demand)
        size = np.where(slip.real < 0, -slip, slip)
        given = self.tyre.force(load, size[:, None] * np.ones(2))
        total = given.sum(axis=1, keepdims=True)
        still = np.abs(total.real) < 1e-12
        share = np.where(still, self._at_rest(load), given / np.where(still, 1.0, total))
        return np.asarray(share * demand[:, None])

    def most(self, load: Array) -> Array:
        """Largest lateral force of the axle at any slip, shape (states,) [N]."""
        slip = np.broadcast_to(_ANGLES, (len(load), 2, len(_ANGLES)))
        given = self.tyre.force(np.broadcast_to(load[..., None], slip.shape), slip).sum(axis=1)
        return np.asarray(given.max(axis=1))

    def _at_rest(self, load: Array) -> Array:
        stiff = self.tyre.stiffness(load, np.zeros(load.shape))
        total = stiff.sum(axis=1, keepdims=True)
        none = total.real <= 0
        return np.asarray(np.where(none, 0.5, stiff / np.where(none, 1.0, total)))

    def _sum(self, load: Array, slip: Array) -> tuple[Array, Array]:
        both = slip[:, None] * np.ones(2)
        return self.tyre.force(load, both).sum(axis=1), self.tyre.stiffness(load, both).sum(axis=1)
