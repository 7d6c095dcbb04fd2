"""What a driver feels, as a few numbers: roll, balance, wheel lift, dive, grip, each turn for itself."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from jounce.behaviour.on_road.brake import most_drive, straight_ahead
from jounce.behaviour.on_road.corner import Cornering, corner, gradient
from jounce.behaviour.on_road.lift import lift
from jounce.behaviour.on_road.road_car import RoadCar
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

    Attributes:
        roll_gradient: roll outwards per lateral acceleration, mean up to 4 m/s² [rad/(m/s²)]
        front_share: front axle's share of the load transfer in a brisk corner [-]
        rear_lift: lateral acceleration at which the inside rear wheel lifts [m/s²]; None beyond what was searched
        rear_lift_braked: the same while braking [m/s²]
        outer_front_camber: camber of the outer front wheel to the road in a brisk corner [rad]
        rear_steer: turn of the rear wheels into the corner in a brisk corner; into it is understeer [rad]
        front_steer: turn of the front wheels out of the corner in a brisk corner; out of it is understeer [rad]
        jacking: rise of the body in a brisk corner [m]
        understeer_gradient: steer asked for beyond the radius' own, per lateral acceleration; None without a tyre law
        limit: lateral acceleration at which the first axle's grip is used up [m/s²]; None likewise, or not in the sweep
        limit_front: whether that is the front axle; None likewise
        drive: longitudinal acceleration in a brisk corner at which the inside driven wheel spins [m/s²]

    """

    roll_gradient: float
    front_share: float
    rear_lift: float | None
    rear_lift_braked: float | None
    outer_front_camber: float
    rear_steer: float
    front_steer: float
    jacking: float
    understeer_gradient: float | None
    limit: float | None
    limit_front: bool | None
    drive: float


@dataclass(frozen=True, slots=True)
class Feel:
    """The car in a few numbers.

    Attributes:
        left: left turn
        right: right turn
        dive: nose-down pitch in hard braking [rad]
        nose: travel of the front wheels in hard braking [m]
        tail: rise of the body over the rear wheels in hard braking [m]
        rear_share_braked: share of the weight left on the rear wheels in hard braking [-]

    """

    left: TurnFeel
    right: TurnFeel
    dive: float
    nose: float
    tail: float
    rear_share_braked: float


def feel(car: RoadCar) -> tuple[Feel, Cornering]:
    """Work out what a driver feels.

    Args:
        car: the car

    Returns:
        The numbers, and the sweep from which they were read
    """
    sweep = corner(car, np.sort(np.append(SWEEP, [-BRISK, BRISK])))
    braked = straight_ahead(car, np.array([-HARD_BRAKE]))
    turns = np.array([1.0, -1.0])
    lifted = lift(car, 1, np.repeat(turns, 2), np.tile([0.0, -BRAKED], 2)).across.reshape(2, 2)
    brisk = [int(np.argmin(np.abs(sweep.acting.across - turn * BRISK))) for turn in turns]
    drive = most_drive(car, sweep.acting.across[brisk], sweep.states.freedoms[brisk])
    left, right = (_turn(sweep, turn, *told) for turn, *told in zip(turns, brisk, lifted, drive, strict=True))
    load = braked.load[0]
    return (
        Feel(
            left,
            right,
            dive=float(braked.pitch[0]),
            nose=float(braked.travel[0, 0]),
            tail=float(-braked.travel[0, 1]),
            rear_share_braked=float(load[1] / load.sum()),
        ),
        sweep,
    )


def _turn(sweep: Cornering, turn: float, brisk: int, lifted: Array, drive: float) -> TurnFeel:
    """One turn's numbers: its brisk state in the sweep, where the rear wheel lifts without and with braking, drive."""
    outer = 1 if turn > 0 else 0
    turned = sweep.steered()[brisk] * turn
    asked = sweep.understeer_angle()
    limit, front = _limit(sweep, turn)
    return TurnFeel(
        roll_gradient=gradient(sweep, sweep.roll, turn),
        front_share=float(sweep.front_share[brisk]),
        rear_lift=_or_none(lifted[0]),
        rear_lift_braked=_or_none(lifted[1]),
        outer_front_camber=float(sweep.camber[brisk, 0, outer]),
        rear_steer=float(turned[1]),
        front_steer=float(-turned[0]),
        jacking=float(sweep.jacking[brisk]),
        understeer_gradient=None if asked is None else gradient(sweep, asked, turn),
        limit=limit,
        limit_front=front,
        drive=float(drive),
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


def same_both_ways(found: Feel) -> dict[str, float]:
    """How much each number of the left turn differs from that of the right one, as a share of their mean [-]."""
    differences = {}
    for told in fields(TurnFeel):
        one, other = getattr(found.left, told.name), getattr(found.right, told.name)
        if isinstance(one, float) and isinstance(other, float) and one + other:
            differences[told.name] = 2 * (one - other) / (one + other)
    return differences
