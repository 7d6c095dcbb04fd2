"""What happens to the car: accelerations, how brakes and engine share their force, loads aboard, uneven ground."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from jounce.numerics.arrays import Array, IntArray


@dataclass(frozen=True, slots=True)
class Loading:
    """Steady accelerations of the car in a batch of states, see `steady`.

    Attributes:
        across: lateral acceleration, positive to the left: a left turn, shape (states,) [m/s²]
        ahead: longitudinal acceleration, positive forward; negative is braking, shape (states,) [m/s²]
        ground: height of the ground under each wheel above where it was as found, shape (states, 2, 2) [m]
        rack: displacement of the steering gear, shape (states,) [m or rad]

    """

    across: Array
    ahead: Array
    ground: Array
    rack: Array

    def take(self, states: IntArray) -> Loading:
        """Some of the states."""
        return Loading(*(getattr(self, field.name)[states] for field in fields(self)))

    def repeated(self, times: int) -> Loading:
        """All states one after the other a number of times."""
        return Loading(*(np.concatenate([getattr(self, field.name)] * times) for field in fields(self)))

    def __len__(self) -> int:
        """Number of states."""
        return len(self.across)


def steady(
    across: Array | float = 0.0,
    ahead: Array | float = 0.0,
    ground: Array | float = 0.0,
    rack: Array | float = 0.0,
) -> Loading:
    """What happens to the car in a batch of states, each one value or one per state.

    Args:
        across: lateral acceleration, positive to the left [m/s²]
        ahead: longitudinal acceleration, positive forward [m/s²]
        ground: height of the ground under each wheel, (front, rear) x (left, right) or one such table per state [m]
        rack: displacement of the rack to the left, or turn of the pitman arm [m or rad]
    """
    one, other, gear = np.broadcast_arrays(*(np.atleast_1d(np.asarray(x, float)) for x in (across, ahead, rack)))
    heights = np.broadcast_to(np.asarray(ground, float), (len(one), 2, 2))
    return Loading(one, other, heights, gear)


@dataclass(frozen=True, slots=True)
class LoadPath:
    """Cases in which accelerations grow together while everything else stays.

    Attributes:
        held: what stays, one state a case
        across: lateral acceleration per size of what grows, shape (cases,) [-]
        ahead: longitudinal acceleration per size, same shape [-]

    """

    held: Loading
    across: Array
    ahead: Array

    def __len__(self) -> int:
        """Number of cases."""
        return len(self.across)

    def acting(self, cases: IntArray, size: Array) -> Loading:
        """What happens to the car in some of the cases; a perturbation of the size passes through.

        Args:
            cases: which ones
            size: of what grows, one a case [m/s²]
        """
        held = self.held.take(cases)
        across, ahead = held.across + size * self.across[cases], held.ahead + size * self.ahead[cases]
        return Loading(across, ahead, held.ground, held.rack)


@dataclass(frozen=True, slots=True)
class DriveShares:
    """Which axle drives and how the brakes share.

    Brakes sit at the wheels (their torque acts on the carriers); the driven axle's torque is reacted by the body.

    Attributes:
        driven: "front" or "rear"
        brake_front_share: front axle's share of the braking force [-]
        friction: most force along the road that a tyre gives, of its load [-]
        brakes_told: whether the car's file says how its brakes share; else what is common is taken

    """

    driven: str
    brake_front_share: float
    friction: float
    brakes_told: bool = True

    def shares(self, ahead: Array) -> Array:
        """Share of the longitudinal force on front and rear axle, shape (states, 2) [-]."""
        front = np.where(np.real(ahead) < 0, self.brake_front_share, float(self.driven == "front"))
        return np.stack((front, 1 - front), -1)
