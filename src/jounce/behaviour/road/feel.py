"""What a driver feels, as a few numbers: roll, balance, wheel lift, dive, grip, each turn for itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from jounce.behaviour.road.brake import MostDrive, most_drive
from jounce.behaviour.road.corner import Cornering, cornering, gradient
from jounce.behaviour.road.equilibrium import AtRest, at_rest, rests_on
from jounce.behaviour.road.followed import PathEnd
from jounce.behaviour.road.lift import FollowedTurns, TurnLimit, turns_followed
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.to_limit import BothTurns
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array

SWEEP = np.linspace(-10.0, 10.0, 41)
"""Lateral accelerations of the sweep both ways [m/s²]."""
BRISK = 0.6 * GRAVITY
"""Lateral acceleration at which a brisk corner is told [m/s²]."""
BRAKED = 0.3 * GRAVITY
"""Braking in the corner for which wheel lift is told [m/s²]."""
HARD_BRAKE = 0.8 * GRAVITY
"""Straight braking for which dive is told [m/s²]."""


@dataclass(frozen=True, slots=True)
class TurnFeel:
    """One turn, left or right; all sizes in the sense that a passenger would call them, SI.

    What is told of a brisk corner is None where the car does not rest in it.

    Attributes:
        limits: which inside wheel lifts, and where the car finds no rest beyond
        limits_braked: the same while braking
        brisk: whether the car rests in a brisk corner, or why not
        roll_gradient: roll outwards per lateral acceleration, mean up to 4 m/s² [rad/(m/s²)]; None where not reached
        front_share: front axle's share of the load transfer in a brisk corner [-]
        outer_front_camber: camber of the outer front wheel to the road in a brisk corner [rad]
        rear_steer: turn of the rear wheels into the corner in a brisk corner; into it is understeer [rad]
        front_steer: turn of the front wheels out of the corner in a brisk corner; out of it is understeer [rad]
        jacking: rise of the body in a brisk corner [m]
        understeer_gradient: steer asked for beyond the radius' own, per lateral acceleration; None without a tyre law
        limit: lateral acceleration at which the first axle's grip is used up [m/s²]; None likewise, or not in the sweep
        limit_front: whether that is the front axle; None likewise
        drive: longitudinal acceleration in a brisk corner at which the inside driven wheel spins [m/s²]
        bands: half widths that hold nine of ten, by the names here, and "front_lift", "rear_lift"; where worked out [SI]

    """

    limits: TurnLimit
    limits_braked: TurnLimit
    brisk: PathEnd
    roll_gradient: float | None
    front_share: float | None
    outer_front_camber: float | None
    rear_steer: float | None
    front_steer: float | None
    jacking: float | None
    understeer_gradient: float | None
    limit: float | None
    limit_front: bool | None
    drive: float | None
    bands: Mapping[str, float] = field(default_factory=dict)

    @property
    def rear_lift(self) -> float | None:
        """Lateral acceleration at which the inside rear wheel lifts [m/s²]; None where it does not."""
        return self.limits.rear

    @property
    def rear_lift_braked(self) -> float | None:
        """The same while braking [m/s²]."""
        return self.limits_braked.rear


@dataclass(frozen=True, slots=True)
class Feel:
    """The car in a few numbers; those of hard braking are None where it does not rest in it.

    Attributes:
        left: left turn
        right: right turn
        dive: nose-down pitch in hard braking [rad]
        nose: travel of the front wheels in hard braking [m]
        tail: rise of the body over the rear wheels in hard braking [m]
        rear_share_braked: share of the weight left on the rear wheels in hard braking [-]
        bands: half widths that hold nine of ten, by the names here; where worked out [SI]

    """

    left: TurnFeel
    right: TurnFeel
    dive: float | None
    nose: float | None
    tail: float | None
    rear_share_braked: float | None
    bands: Mapping[str, float] = field(default_factory=dict)


_TURNS = np.array([1.0, -1.0])


@dataclass(frozen=True, slots=True)
class FollowedCar:
    """A car straight ahead, and its turns followed from there to their ends.

    Attributes:
        ahead: standing, braked as in a corner, braked hard
        turns: left and right, then both braked

    """

    ahead: AtRest
    turns: FollowedTurns

    @property
    def both(self) -> BothTurns:
        """The turns at steady speed alone."""
        return BothTurns(self.ahead.take(slice(0, 1)), FollowedTurns(self.turns.ways[:2], self.turns.limits[:2]))


def followed(car: RoadCar) -> FollowedCar:
    """Follow the turns of a car, at steady speed and braked.

    Args:
        car: the car
    """
    ahead = at_rest(car, steady(0.0, np.array([0.0, -BRAKED, -HARD_BRAKE])))
    start = ahead.take(np.array([0, 0, 1, 1]))
    return FollowedCar(ahead, turns_followed(car, np.tile(_TURNS, 2), start, np.repeat([0.0, -BRAKED], 2)))


def feel(car: RoadCar, followed_car: FollowedCar | None = None) -> tuple[Feel, Cornering]:
    """Work out what a driver feels.

    Args:
        car: the car
        followed_car: its turns; followed when left out

    Returns:
        The numbers, and the sweep from which they were read
    """
    followed_car = followed_car or followed(car)
    ahead, turns = followed_car.ahead, followed_car.turns
    standing, braked = ahead.take(slice(0, 1)), ahead.take(slice(2, 3))
    across = np.sort(np.append(SWEEP, [-BRISK, BRISK]))
    acting = steady(across)
    ways = [turns.ways[0 if one >= 0 else 1] for one in across]
    states = rests_on(car, acting, ways, np.abs(across), np.repeat(standing.freedoms, len(across), axis=0))
    sweep = cornering(car, acting, states, standing)
    brisk = [int(np.argmin(np.abs(across - turn * BRISK))) for turn in _TURNS]
    drive = most_drive(car, across[brisk], states.freedoms[brisk])
    left, right = (_turn(sweep, k, brisk[k], (turns.limits[k], turns.limits[2 + k]), drive) for k in (0, 1))
    load = braked.acted.load[0].sum(axis=1)
    travel = (braked.travel - standing.travel)[0].mean(axis=1)
    told = {
        "dive": braked.pitch[0] - standing.pitch[0],
        "nose": travel[0],
        "tail": -travel[1],
        "rear_share_braked": load[1] / load.sum(),
    }
    known = {name: float(value) if braked.reached[0] else None for name, value in told.items()}
    return Feel(left, right, known["dive"], known["nose"], known["tail"], known["rear_share_braked"]), sweep


def _turn(sweep: Cornering, which: int, brisk: int, limits: tuple[TurnLimit, TurnLimit], drive: MostDrive) -> TurnFeel:
    """One turn's numbers, 0 left and 1 right: its brisk state in the sweep, its limits without and with braking."""
    turn, outer = _TURNS[which], 1 - which
    there = bool(sweep.states.reached[brisk])

    def at_brisk(values: Array) -> float | None:
        return _or_none(values[brisk]) if there else None

    turned = sweep.steered() * turn
    asked = sweep.understeer_angle()
    limit, front = _limit(sweep, turn)
    return TurnFeel(
        limits=limits[0],
        limits_braked=limits[1],
        brisk=sweep.states.ends[brisk],
        roll_gradient=_or_none(gradient(sweep, sweep.roll, turn)),
        front_share=at_brisk(sweep.front_share),
        outer_front_camber=at_brisk(sweep.camber[:, 0, outer]),
        rear_steer=at_brisk(turned[:, 1]),
        front_steer=at_brisk(-turned[:, 0]),
        jacking=at_brisk(sweep.jacking),
        understeer_gradient=None if asked is None else _or_none(gradient(sweep, asked, turn)),
        limit=limit,
        limit_front=front,
        drive=_or_none(drive.ahead[which]) if there else None,
    )


def _limit(sweep: Cornering, turn: float) -> tuple[float | None, bool | None]:
    """Where an axle's demand first reaches the most that its tyres give."""
    if sweep.used is None:
        return None, None
    across = sweep.acting.across * turn
    order = np.argsort(across)
    order = order[(across[order] >= 0) & sweep.states.reached[order]]
    crossings = [_crossing(across[order], sweep.used[order, axle]) for axle in (0, 1)]
    known = [c for c in crossings if c is not None]
    if not known:
        return None, None
    first = min(known)
    return first, crossings[0] is not None and crossings[0] == first


def _crossing(across: Array, used: Array) -> float | None:
    above = np.flatnonzero(used >= 1.0)
    if not len(above) or above[0] == 0:
        return None
    i = int(above[0])
    share = (1.0 - used[i - 1]) / (used[i] - used[i - 1])
    return float(across[i - 1] + share * (across[i] - across[i - 1]))


def _or_none(value: float) -> float | None:
    return None if np.isnan(value) else float(value)
