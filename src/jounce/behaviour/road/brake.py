"""Braking and driving in a straight line: pitch, loads, how low the nose goes, and where a wheel has no grip left."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from jounce.behaviour.road.equilibrium import AtRest, at_rest
from jounce.behaviour.road.followed import Follower, PathEnd
from jounce.behaviour.road.forces import ForceState
from jounce.behaviour.road.loading import Loading, LoadPath, steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array, IntArray


@dataclass(frozen=True, slots=True)
class StraightAhead:
    """The car at steady braking or driving, and standing.

    Attributes:
        acting: what happens to the car
        states: the car in every state
        standing: the car without acceleration, one state

    """

    acting: Loading
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


@dataclass(frozen=True, slots=True)
class MostDrive:
    """Longitudinal acceleration at which the lighter driven wheel spins, for each case.

    Attributes:
        ahead: that acceleration, zero where the wheel has no load, NaN where none is told, shape (cases,) [m/s²]
        ends: why none is told; `PathEnd.RESTS` where one is, or where the wheel bears all that the road gives

    """

    ahead: Array
    ends: tuple[PathEnd, ...]


def most_drive(car: RoadCar, across: Array, near: Array | None = None) -> MostDrive:
    """Longitudinal acceleration at which the lighter driven wheel spins: an open differential gives both the same.

    The tyre's lateral force is not counted against its grip: what is told is the most there can be.

    Args:
        car: the car
        across: lateral acceleration meanwhile, shape (cases,) [m/s²]
        near: freedoms at rest there without driving, shape (cases, 7); found when left out
    """
    across = np.atleast_1d(np.asarray(across, float))
    axle = car.names.index(car.driveline.driven)
    friction = car.driveline.friction
    start = at_rest(car, steady(across), near)
    most, ends = np.full(len(across), np.nan), list(start.ends)
    lightest = start.acted.load[:, axle].min(axis=1)
    most[start.reached & (lightest <= 0)] = 0.0
    loaded = np.flatnonzero(start.reached & (lightest > 0))

    def lacking(now: ForceState, ahead: Array, _: IntArray) -> Array:
        """Force that the lighter wheel cannot give any more, negative while it can [N]."""
        load = now.load[:, axle]
        lighter = np.argmin(load.real, axis=1)
        return np.asarray(ahead * car.mass - 2 * friction * load[np.arange(len(load)), lighter])[:, None]

    if len(loaded):
        none = np.zeros(len(loaded))
        follower = Follower(car, LoadPath(steady(across[loaded]), none, none + 1.0), lacking)
        ways = follower.ways(start.freedoms[loaded], 1.01 * friction * GRAVITY, to_first=True)
        brackets = []
        for k, way in enumerate(ways):
            ends[loaded[k]] = way.end
            nodes = way.nodes if way.beyond is None else (*way.nodes, way.beyond)
            pairs = pairwise(nodes)
            brackets += [(k, *pair, 0) for pair in pairs if pair[0].told[0] < 0 <= pair[1].told[0]][:1]
        for (k, *_), size in zip(brackets, follower.events(brackets), strict=True):
            most[loaded[k]] = np.nan if size is None else size
            ends[loaded[k]] = PathEnd.LOST if size is None else PathEnd.RESTS
    return MostDrive(most, tuple(ends))
