"""Attitude of the car's body on the road: heave, then pitch, then roll, as finite rotations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array


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
        return self._ways(arm, UP)

    def turns(self, direction: Array) -> Array:
        """How a direction of the body changes per heave, pitch and roll, shape (states, ..., 3 ways, 3) [1/rad]."""
        return self._ways(direction, np.zeros(3))

    def _ways(self, vector: Array, heaved: Array) -> Array:
        """What heave does, pitch turning the vector about y, and roll turning it about its axis, which has no y."""
        along, down = (self.roll_axis[:, k].reshape(-1, *(1,) * (vector.ndim - 2)) for k in (0, 2))
        x, y, z = vector[..., 0], vector[..., 1], vector[..., 2]
        ways = np.zeros((*vector.shape[:-1], 3, 3), np.result_type(vector, self.roll_axis))
        ways[..., 0, :] = heaved
        ways[..., 1, 0], ways[..., 1, 2] = z, -x
        ways[..., 2, 0], ways[..., 2, 1], ways[..., 2, 2] = -down * y, down * x - along * z, along * y
        return ways


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
    axis = np.zeros((len(cp), 3), cp.dtype)
    axis[:, 0], axis[:, 2] = cp, -sp
    rotation = np.zeros((len(cp), 3, 3), np.result_type(cp, cr))
    rotation[:, 0, 0], rotation[:, 0, 1], rotation[:, 0, 2] = cp, sp * sr, sp * cr
    rotation[:, 1, 1], rotation[:, 1, 2] = cr, -sr
    rotation[:, 2, 0], rotation[:, 2, 1], rotation[:, 2, 2] = -sp, cp * sr, cp * cr
    return Attitude(heave, rotation, axis)
