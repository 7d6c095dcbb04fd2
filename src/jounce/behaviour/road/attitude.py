"""Attitude of the car's body on the road: heave, then pitch, then roll, as finite rotations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross


@dataclass(frozen=True, slots=True)
class Attitude:
    """The body in a batch of states.

    Attributes:
        heave: rise of the body's origin, shape (states,) [m]
        rotation: turns the body's axes into the road's, shape (states, 3, 3) [-]
        roll_axis: axis about which roll turns the body, road axes, shape (states, 3) [-]; pitch turns it about y

    """

    heave: Array
    rotation: Array
    roll_axis: Array

    def turned(self, vector: Array) -> Array:
        """A vector of the body in the road's axes, shape (states, ..., 3) [as given]."""
        return np.asarray(np.einsum("nij,n...j->n...i", self.rotation, vector))

    def moves(self, arm: Array) -> Array:
        """How a point of the body moves per heave, pitch and roll.

        Args:
            arm: from the body's origin to the point, road axes, shape (states, ..., 3) [m]

        Returns:
            Shape (states, ..., 3 ways, 3) [m per m, m per rad, m per rad]
        """
        return np.stack((np.broadcast_to(UP, arm.shape), *self._turns(arm)), axis=-2)

    def turns(self, direction: Array) -> Array:
        """How a direction of the body changes per heave, pitch and roll, shape (states, ..., 3 ways, 3) [1/rad]."""
        return np.stack((np.zeros_like(direction), *self._turns(direction)), axis=-2)

    def _turns(self, vector: Array) -> tuple[Array, Array]:
        axis = self.roll_axis.reshape(len(self.roll_axis), *(1,) * (vector.ndim - 2), 3)
        return cross(np.broadcast_to(ACROSS, vector.shape), vector), cross(np.broadcast_to(axis, vector.shape), vector)


UP = np.array([0.0, 0.0, 1.0])
ACROSS = np.array([0.0, 1.0, 0.0])


def attitude(heave: Array, pitch: Array, roll: Array) -> Attitude:
    """Attitude of a batch.

    Args:
        heave: rise of the body's origin [m]
        pitch: positive nose down [rad]
        roll: positive right side down [rad]
    """
    (cp, sp), (cr, sr) = ((np.cos(angle), np.sin(angle)) for angle in (pitch, roll))
    zero = np.zeros_like(cp)
    rotation = np.stack(
        (
            np.stack((cp, sp * sr, sp * cr), -1),
            np.stack((zero, cr, -sr), -1),
            np.stack((-sp, cp * sr, cp * cr), -1),
        ),
        axis=-2,
    )
    return Attitude(heave, rotation, np.stack((cp, zero, -sp), -1))
