"""A turn from straight ahead to its end: grip of both axles, where it is used up first, where rubbers are met."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.reach import rubber_gaps
from jounce.behaviour.road.axle_path import AxleOnBody
from jounce.behaviour.road.corner import Cornering, cornering
from jounce.behaviour.road.equilibrium import AtRest, at_rest, rests_on
from jounce.behaviour.road.lift import FollowedTurns, TurnLimit, turns_followed
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.constants import GRAVITY
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.rising import first_rise

_LOOKED = 1.3 * GRAVITY  # no road tyre grips beyond [m/s²]
_STEPS = 27


@dataclass(frozen=True, slots=True)
class GripLimit:
    """Where the first axle's tyres give their most.

    Attributes:
        across: lateral acceleration there [m/s²]
        used: share of its most that front and rear axle give there, shape (2,) [-]

    """

    across: float
    used: Array

    @property
    def front_first(self) -> bool:
        """Whether it is the front axle."""
        return bool(self.used[0] >= self.used[1])


@dataclass(frozen=True, slots=True)
class ToLimit:
    """One turn, in all sizes in its own sense.

    Attributes:
        limits: which inside wheel lifts, and where the car finds no rest beyond
        used: share of its most that front and rear axle give at the size asked for; None without tyre law or rest there
        grip: where the first axle's grip is used up; None without a tyre law or where it is not
        rubbers: size at which the first bump rubber of an axle touches, by axle; None where none does [m/s²]

    """

    limits: TurnLimit
    used: Array | None
    grip: GripLimit | None
    rubbers: Mapping[str, float | None]


@dataclass(frozen=True, slots=True)
class BothTurns:
    """A car standing, and its left and its right turn followed from there to their ends."""

    standing: AtRest
    turns: FollowedTurns


def both_turns(car: RoadCar) -> BothTurns:
    """Follow the left and the right turn at steady speed.

    Args:
        car: the car
    """
    standing = at_rest(car, steady())
    turns = turns_followed(car, np.array([1.0, -1.0]), standing.take(np.array([0, 0])), np.zeros(2))
    return BothTurns(standing, turns)


def to_limits(car: RoadCar, at: float, both: BothTurns | None = None) -> tuple[ToLimit, ToLimit]:
    """Left and right turn from straight ahead to where grip or rest ends.

    Args:
        car: the car
        at: size of the lateral acceleration for which grip is told besides [m/s²]
        both: its turns; followed when left out
    """
    both = both or both_turns(car)
    standing, turns = both.standing, both.turns
    sizes = np.unique(np.append(np.linspace(0.0, _LOOKED, _STEPS), at))
    across = np.concatenate([sizes, -sizes])
    ways = [turns.ways[k] for k in (0, 1) for _ in sizes]
    acting = steady(across)
    states = rests_on(car, acting, ways, np.abs(across), np.repeat(standing.freedoms, len(across), axis=0))
    told = cornering(car, acting, states, standing)
    left, right = (
        _turn(car, told, turns.limits[k], np.arange(k * len(sizes), (k + 1) * len(sizes)), at) for k in (0, 1)
    )
    return left, right


def _turn(car: RoadCar, told: Cornering, limits: TurnLimit, rows: IntArray, at: float) -> ToLimit:
    rows = rows[told.states.reached[rows]]
    sizes = np.abs(told.acting.across[rows])
    there = np.flatnonzero(sizes == at)
    used = told.used[rows] if told.used is not None else None
    rubbers = {
        name: _first_pressed(sizes, on_body, told.states.travel[rows, axle])
        for axle, (name, on_body) in enumerate(zip(car.names, car.axles, strict=True))
    }
    return ToLimit(
        limits=limits,
        used=None if used is None or not len(there) else used[there[0]],
        grip=None if used is None else _grip_limit(sizes, used),
        rubbers=rubbers,
    )


def _grip_limit(sizes: Array, used: Array) -> GripLimit | None:
    most = used.max(axis=1)
    size = first_rise(sizes, most - 1.0)
    if size is None:
        return None
    return GripLimit(size, np.array([np.interp(size, sizes, used[:, axle]) for axle in (0, 1)]))


def _first_pressed(sizes: Array, on_body: AxleOnBody, travel: Array) -> float | None:
    """Size at which the first bump rubber of an axle touches; none where none does."""
    if not len(travel):
        return None
    at = AxleStates(**dict(zip(SIDES, travel.T, strict=True)), settings=on_body.settings)
    met = [first_rise(sizes, -gap) for gap in rubber_gaps(on_body.axle, at).values()]
    return min((size for size in met if size is not None), default=None)
