"""Limits of a turn: which inside wheel leaves the road, and where the car finds no rest any more.

The rest is followed from no lateral acceleration on. Four facts are told apart, each by its own name: a wheel lifts; the
car tips over; it jacks up or otherwise gives way; none of these happens as far as was looked. A search that was given up
is a fifth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

import numpy as np

from jounce.behaviour.road.equilibrium import AtRest, at_rest
from jounce.behaviour.road.followed import FollowedPath, Follower, Node, PathEnd
from jounce.behaviour.road.forces import TRAVELS, ForceState
from jounce.behaviour.road.loading import LoadPath, steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array, IntArray

SEARCHED = 20.0
"""Lateral acceleration up to which is looked: twice what a road tyre gives [m/s²]."""
_NO_MORE = 0.01  # of the car's weight: what the inside may carry beyond its own wheels where the car tips over
_CLEARANCES, _LOADS, _HEIGHT = slice(0, 4), slice(4, 8), 8
"""What is told on the way, wheels as (front, rear) x (left, right)."""


class Manner(Enum):
    """What happens where a car finds no rest beyond."""

    TIPS = "tips over"
    JACKS = "jacks up"
    GIVES_WAY = "gives way"


@dataclass(frozen=True, slots=True)
class TurnLimit:
    """How far a turn goes.

    Attributes:
        front: lateral acceleration at which the inside front wheel lifts; None where it does not up to `farthest` [m/s²]
        rear: the same of the inside rear wheel
        farthest: where the car finds no rest beyond, or as far as it was followed [m/s²]
        end: why it was followed no further; `PathEnd.RESTS` where it rests there
        manner: what happens there; None where it rests or could not be followed

    """

    front: float | None
    rear: float | None
    farthest: float
    end: PathEnd
    manner: Manner | None

    @property
    def first(self) -> str | None:
        """Which inside wheel lifts first, "front" or "rear"; None where neither does."""
        if self.front is None and self.rear is None:
            return None
        return "front" if self.rear is None or (self.front is not None and self.front < self.rear) else "rear"

    @property
    def front_tips(self) -> bool:
        """Whether the inside front wheel lifts last, and by that tips the car over: both are one fact."""
        return self.manner is Manner.TIPS and self.first == "rear" and self.front == self.farthest

    def of_axle(self, axle: int) -> float | None:
        """Where an axle's inside wheel lifts, 0 front, 1 rear [m/s²]."""
        return self.rear if axle else self.front

    @property
    def whole(self) -> float:
        """Largest lateral acceleration up to which the car rests on all four wheels [m/s²]."""
        return min(size for size in (self.front, self.rear, self.farthest) if size is not None)


@dataclass(frozen=True, slots=True)
class Lift:
    """First wheel of an axle to leave the road.

    Attributes:
        ahead: longitudinal accelerations, shape (cases,) [m/s²]
        across: size of the lateral acceleration, NaN where no wheel lifts within what was searched, shape (cases,) [m/s²]

    """

    ahead: Array
    across: Array


def lift(car: RoadCar, axle: int, turn: float | Array, ahead: Array) -> Lift:
    """Lateral acceleration at which an axle's inside wheel lifts.

    Args:
        car: the car
        axle: 0 for the front, 1 for the rear
        turn: +1 for a left turn, -1 for a right one; for all cases or each its own
        ahead: longitudinal accelerations, shape (cases,) [m/s²]

    Returns:
        Not a number where none lifts; `turns_followed` tells why
    """
    turns, held = np.broadcast_arrays(np.asarray(turn, float), np.atleast_1d(np.asarray(ahead, float)))
    limits = turns_followed(car, turns, at_rest(car, steady(0.0, held)), held).limits
    return Lift(held, np.array([np.nan if (size := one.of_axle(axle)) is None else size for one in limits]))


@dataclass(frozen=True, slots=True)
class FollowedTurns:
    """Turns followed to their ends: the way of each and its limits."""

    ways: tuple[FollowedPath, ...]
    limits: tuple[TurnLimit, ...]


def turns_followed(car: RoadCar, turns: Array, start: AtRest, ahead: Array) -> FollowedTurns:
    """Follow turns from no lateral acceleration to where the car finds no rest, or as far as is looked.

    Args:
        car: the car
        turns: +1 for a left turn, -1 for a right one, shape (cases,)
        start: each case without lateral acceleration
        ahead: longitudinal acceleration meanwhile, shape (cases,) [m/s²]
    """
    ways = [FollowedPath((), None, end) for end in start.ends]
    limits = [TurnLimit(None, None, 0.0, end, None) for end in start.ends]
    cases = np.flatnonzero(start.reached)
    if len(cases):
        growing = LoadPath(steady(0.0, ahead[cases]), turns[cases], np.zeros(len(cases)))
        follower = Follower(car, growing, lambda now, _, rows: _told(car, now, rows))
        found = follower.ways(start.freedoms[cases], SEARCHED)
        inside = np.where(turns[cases] > 0, 0, 1)
        lifts = _lifts(follower, found, inside)
        for k, case in enumerate(cases):
            ways[case] = found[k]
            limits[case] = _limit(car, found[k], int(inside[k]), lifts[k])
    return FollowedTurns(tuple(ways), tuple(limits))


def clearance(car: RoadCar, now: ForceState) -> Array:
    """Height of each tyre above the ground, negative while it is pressed on it, shape (states, 2, 2) [m]."""
    height = now.centre[..., 2] - car.radius * np.sqrt(1 - now.axis[..., 2] ** 2) - now.ground
    return np.asarray(height - car.road_height - car.unloaded)


def _told(car: RoadCar, now: ForceState, rows: IntArray) -> Array:
    wheels = (clearance(car, now), now.load)
    return np.concatenate([*(one.reshape(len(rows), 4) for one in wheels), now.body_centre[:, 2:]], axis=1)


def _lifts(follower: Follower, ways: Sequence[FollowedPath], inside: IntArray) -> list[list[float | None]]:
    """Where the inside wheel of front and rear axle lifts, case by case."""
    lifts: list[list[float | None]] = [[None, None] for _ in ways]
    brackets, whose = [], []
    for case, way in enumerate(ways):
        nodes = way.nodes if way.beyond is None else (*way.nodes, way.beyond)
        for axle in (0, 1):
            wheel = 2 * axle + int(inside[case])
            if nodes[0].told[wheel] >= 0:
                lifts[case][axle] = 0.0
                continue
            pairs = pairwise(nodes)
            found = next((pair for pair in pairs if pair[0].told[wheel] < 0 <= pair[1].told[wheel]), None)
            if found is not None:
                brackets.append((case, *found, wheel))
                whose.append((case, axle))
    for (case, axle), size in zip(whose, follower.events(brackets), strict=True):
        lifts[case][axle] = size
    return lifts


def _limit(car: RoadCar, way: FollowedPath, inside: int, lifts: Sequence[float | None]) -> TurnLimit:
    front, rear = lifts
    farthest = max(way.farthest, *(size for size in lifts if size is not None), 0.0)
    if way.end is PathEnd.RESTS:
        farthest = way.farthest
    manner = None if way.beyond is None else _manner(car, way.nodes[-1], way.beyond, inside)
    return TurnLimit(front, rear, farthest, way.end, manner)


def _manner(car: RoadCar, last: Node, beyond: Node, inside: int) -> Manner:
    """What the car does past its last rest.

    It tips over where nothing on its inside holds the body up any more: the inside wheels carry no more than their own
    weight. It jacks up where its body is still held there and rises while an outer wheel goes down from it.
    """
    carried = float(last.told[_LOADS].reshape(2, 2)[:, inside].sum())
    own = float(car.unsprung[:, inside].sum()) * GRAVITY
    if carried <= own + _NO_MORE * car.mass * GRAVITY:
        return Manner.TIPS
    rises = beyond.told[_HEIGHT] > last.told[_HEIGHT]
    outer = [travels.start + 1 - inside for travels in TRAVELS]
    return Manner.JACKS if rises and (beyond.at - last.at)[outer].min() < 0 else Manner.GIVES_WAY
