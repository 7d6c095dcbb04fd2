"""Steady cornering, left and right turn separately: what the car does from straight ahead to past wheel lift."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.equal_slip import EqualSlip
from jounce.behaviour.road.equilibrium import AtRest, at_rest
from jounce.behaviour.road.loading import Loading, steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.transfer import Transfer, transfer
from jounce.numerics.arrays import Array

LINEAR_TO = 4.0
"""Lateral acceleration up to which gradients are told: the secant from straight ahead to there [m/s²]."""


_NO_TRANSFER = 1.0  # below it there is no share to tell [N]


@dataclass(frozen=True, slots=True)
class Cornering:
    """A batch of cornering states and the car standing, all angles true.

    Attributes:
        acting: what happens to the car
        states: the car in every state
        standing: the car without acceleration, one state
        transfer: load moved to the right-hand wheels beyond what is there standing, by its parts
        camber: of each wheel against the road, negative when its top leans to the middle, shape (states, 2, 2) [rad]
        steer: of each wheel on the road, positive to the left, same shape [rad]
        slip: slip angle of front and rear axle, shape (states, 2) [rad]; None where no tyre's law is known
        used: share of each axle's most lateral force that is used, shape (states, 2) [-]; None likewise

    """

    acting: Loading
    states: AtRest
    standing: AtRest
    transfer: Transfer
    camber: Array
    steer: Array
    slip: Array | None
    used: Array | None

    @property
    def roll(self) -> Array:
        """Roll of the body beyond standing, positive right side down, shape (states,) [rad]."""
        return np.asarray(self.states.roll - self.standing.roll)

    @property
    def pitch(self) -> Array:
        """Pitch of the body beyond standing, positive nose down, shape (states,) [rad]."""
        return np.asarray(self.states.pitch - self.standing.pitch)

    @property
    def front_share(self) -> Array:
        """Front axle's share of the load transfer, shape (states,) [-]; NaN straight ahead."""
        total = self.transfer.total
        both = total.sum(axis=1)
        straight = np.abs(both) <= _NO_TRANSFER
        return np.asarray(np.where(straight, np.nan, total[:, 0] / np.where(straight, 1.0, both)))

    @property
    def jacking(self) -> Array:
        """Rise of the body's centre of gravity beyond standing, shape (states,) [m]."""
        return np.asarray(self.states.body_height - self.standing.body_height)

    def steered(self) -> Array:
        """Turn of each axle's wheels that cornering itself makes, mean of both, positive left, (states, 2) [rad]."""
        return np.asarray(self.steer.mean(axis=2) - _steer(self.standing).mean(axis=2))

    def understeer_angle(self) -> Array | None:
        """Steer of the front wheels beyond what the curve's radius asks for, positive left, shape (states,) [rad].

        Front slip less rear slip, less what roll steers at the front, plus what it steers at the rear.
        """
        if self.slip is None:
            return None
        turned = self.steered()
        return np.asarray(self.slip[:, 0] - self.slip[:, 1] - turned[:, 0] + turned[:, 1])


def corner(car: RoadCar, across: Array, ahead: Array | float = 0.0) -> Cornering:
    """The car at steady lateral accelerations.

    Args:
        car: the car
        across: lateral accelerations, positive in a left turn, shape (states,) [m/s²]
        ahead: longitudinal acceleration meanwhile [m/s²]
    """
    acting = steady(across, ahead)
    return cornering(car, acting, at_rest(car, acting), at_rest(car, steady()))


def cornering(car: RoadCar, acting: Loading, states: AtRest, standing: AtRest) -> Cornering:
    """What states at rest tell of cornering.

    Args:
        car: the car
        acting: what happens to it
        states: the car in every state
        standing: the car without acceleration, one state
    """
    moved = transfer(car, states, acting).beyond(transfer(car, standing, steady()))
    slip, used = _grip(car, states)
    return Cornering(acting, states, standing, moved, _camber(states), _steer(states), slip, used)


def gradient(cornering: Cornering, values: Array, turn: float, to: float = LINEAR_TO) -> float:
    """Mean slope of a result from straight ahead to a lateral acceleration of one turn.

    Args:
        cornering: the sweep; straight ahead must be among its states
        values: the result in every state, shape (states,)
        turn: +1 for left, -1 for right
        to: lateral acceleration up to which it is taken [m/s²]

    Returns:
        Change per m/s² of the size of the lateral acceleration, in the sense of a left turn; NaN where not reached
    """
    across, good = cornering.acting.across * turn, cornering.states.reached
    order = np.argsort(across[good])
    known, there = across[good][order], values[good][order]
    if not len(known) or known[-1] < to or known[0] > 0:
        return float("nan")
    high, low = np.interp([to, 0.0], known, there)
    return float(turn * (high - low) / to)


def _grip(car: RoadCar, rest: AtRest) -> tuple[Array | None, Array | None]:
    slips, used = [], []
    for axle, sharing in enumerate(car.sharing):
        if not isinstance(sharing, EqualSlip):
            return None, None
        load, demand = rest.acted.load[:, axle], rest.acted.lateral[:, axle].sum(axis=1)
        slips.append(sharing.slip(load, demand))
        used.append(np.abs(demand) / np.maximum(sharing.most(load), 1e-9))
    return np.stack(slips, -1), np.stack(used, -1)


def _camber(rest: AtRest) -> Array:
    """Angle of each wheel's plane to the road's normal, shape (states, 2, 2) [rad]."""
    return np.asarray(np.arcsin(rest.acted.axis[..., 2]) * np.array([-1.0, 1.0]))


def _steer(rest: AtRest) -> Array:
    """Steer of each wheel about the road's normal, shape (states, 2, 2) [rad]."""
    axis = rest.acted.axis
    return np.asarray(np.arctan2(-axis[..., 0], axis[..., 1]))
