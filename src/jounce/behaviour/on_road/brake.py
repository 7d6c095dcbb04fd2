"""Braking and driving in a straight line: pitch, loads, how low the nose goes, and where a wheel has no grip left."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize.elementwise import find_root

from jounce.behaviour.on_road.acting import Acting, steady
from jounce.behaviour.on_road.equilibrium import AtRest, at_rest
from jounce.behaviour.on_road.road_car import RoadCar
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class StraightAhead:
    """The car at steady braking or driving, and standing.

    Attributes:
        acting: what happens to the car
        states: the car in every state
        standing: the car without acceleration, one state

    """

    acting: Acting
    states: AtRest
    standing: AtRest

    @property
    def pitch(self) -> Array:
        """Pitch of the body beyond standing, positive nose down, shape (states,) [rad]."""
        return np.asarray(self.states.pitch - self.standing.pitch)

    @property
    def travel(self) -> Array:
        """Mean travel of front and rear wheels beyond standing, positive in bump, shape (states, 2) [m]."""
        return np.asarray((self.states.travel - self.standing.travel).mean(axis=2))

    @property
    def load(self) -> Array:
        """Load of front and rear axle, shape (states, 2) [N]."""
        return np.asarray(self.states.acted.load.sum(axis=2))

    @property
    def friction_used(self) -> Array:
        """Largest share of its load that a wheel of each axle gives forward or back, (states, 2) [-]; NaN without load."""
        load, given = self.states.acted.load, np.abs(self.states.acted.ahead)
        loaded = load > _NO_LOAD
        used = np.where(loaded, given / np.where(loaded, load, 1.0), np.nan)
        return np.asarray(used.max(axis=2))


_NO_LOAD = 1.0  # [N]


def straight_ahead(car: RoadCar, ahead: Array) -> StraightAhead:
    """The car at steady longitudinal accelerations.

    Args:
        car: the car
        ahead: accelerations, negative in braking, shape (states,) [m/s²]
    """
    acting = steady(0.0, ahead)
    return StraightAhead(acting, at_rest(car, acting), at_rest(car, steady()))


def most_drive(car: RoadCar, across: Array) -> Array:
    """Longitudinal acceleration at which the lighter driven wheel spins: an open differential gives both the same.

    The tyre's lateral force is not counted against its grip: what is told is the most there can be.

    Args:
        car: the car
        across: lateral acceleration meanwhile, shape (cases,) [m/s²]

    Returns:
        Shape (cases,) [m/s²]; zero where the lighter wheel has no load
    """
    across = np.atleast_1d(np.asarray(across, float))
    axle = car.names.index(car.driveline.driven)
    near = at_rest(car, steady(across)).freedoms
    friction = car.driveline.friction

    def spare(ahead: Array, case: Array) -> Array:
        """Force that the lighter wheel could still take [N]."""
        cases = case.astype(int)
        rest = at_rest(car, steady(across[cases], ahead), near[cases])
        near[cases] = rest.freedoms  # the next one starts from here
        load = rest.acted.load[:, axle].min(axis=1)
        return np.asarray(2 * friction * load - ahead * car.mass)

    most = np.zeros(len(across))
    loaded = np.flatnonzero(spare(np.zeros(len(across)), np.arange(float(len(across)))) > 0)
    if len(loaded):
        bounds = (np.zeros(len(loaded)), np.full(len(loaded), friction * GRAVITY))
        most[loaded] = find_root(
            spare, bounds, args=(loaded.astype(np.float64),), tolerances={"xatol": _CLOSE, "xrtol": 0}
        ).x
    return np.asarray(most)


_CLOSE = 1e-4  # [m/s²]
