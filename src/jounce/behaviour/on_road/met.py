"""Where a growing acceleration brings a car at rest to an event: a wheel that lifts, a wheel that spins.

The acceleration is an eighth unknown beside the seven freedoms, and what tells the event is the eighth equation: one
Newton finds both. The states at rest are followed from where the acceleration is none, in steps of what tells the
event, so that what is found is the first event on the way. Where the acceleration cannot grow as far there is none: the
car tips over before.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.on_road.acting import Acting, steady
from jounce.behaviour.on_road.equilibrium import TOLERANCE, around, perturbed
from jounce.behaviour.on_road.forces import FREEDOMS, Acted, acted, split_better
from jounce.behaviour.on_road.road_car import RoadCar
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array, BoolArray, IntArray
from jounce.numerics.perturbation import STEP

_STEPS = (0.4, 0.01, 1e-9)  # of the way left; the last one is the event, from the side from which it is come to
_SHORTEST = 0.05  # step that is not made shorter: a case that fails it is given up
_ROUNDS = 12  # of Newton for one step
_LAST_ROUNDS = 40  # for the event
_ROUGH = 1e-3  # of the car's weight and of the way: what is good enough on the way
_EXACT = 1e-10  # of the way, at the event
_LONGEST = 0.03  # of one Newton step: stops and lift-off bend sharply [m or rad]


@dataclass(frozen=True, slots=True)
class Growing:
    """Cases in which one acceleration grows while the other stays.

    Attributes:
        across: lateral acceleration per size of what grows, shape (cases,) [-]
        ahead: longitudinal acceleration per size, same shape [-]
        across_held: lateral acceleration that stays, same shape [m/s²]
        ahead_held: longitudinal acceleration that stays, same shape [m/s²]

    """

    across: Array
    ahead: Array
    across_held: Array
    ahead_held: Array

    def acting(self, cases: IntArray, size: Array) -> Acting:
        """What happens to the car in some of the cases; a perturbation of the size [m/s²] passes through."""
        held = steady(self.across_held[cases], self.ahead_held[cases])
        across, ahead = held.across + size * self.across[cases], held.ahead + size * self.ahead[cases]
        return Acting(across, ahead, held.ground, held.rack)


Telling = Callable[[Acted, Array, IntArray], Array]
"""What tells the event, zero there: of forces, size of the growing acceleration and the cases they belong to."""


def met(car: RoadCar, growing: Growing, telling: Telling, start: Array, most: float) -> Array:
    """Size of the growing acceleration at which the event comes.

    Args:
        car: the car
        growing: the cases
        telling: what tells the event; perturbations must pass through
        start: freedoms at rest without the growing acceleration, shape (cases, 7) [m or rad]
        most: largest size looked at [m/s²]

    Returns:
        Shape (cases,) [m/s²]; NaN where no event comes up to there, or the car tips over before
    """
    way = _Way(car, growing, telling, start, most)
    cases, left = np.arange(len(start)), 1.0
    for target in _STEPS:
        cases, left = way.gone(cases, left, target), target
    size = np.full(len(start), np.nan)
    size[cases] = way.size[cases]
    return size


class _Way:
    """All cases on their way to the event."""

    def __init__(self, car: RoadCar, growing: Growing, telling: Telling, start: Array, most: float) -> None:
        self.car, self.growing, self.telling, self.most = car, growing, telling, most
        self.at, self.size = np.array(start, dtype=np.float64), np.zeros(len(start))
        self.split = np.full((len(start), 2, 2), 0.5)
        self.over = np.zeros(
            len(start), dtype=np.bool_
        )  # the acceleration does not grow on, or beyond what is looked at
        self.whole = self._about(np.arange(len(start)))[0][:, FREEDOMS]

    def gone(self, cases: IntArray, left: float, target: float) -> IntArray:
        """Go on, in shorter steps where one is too long.

        Args:
            cases: which ones
            left: share of the way left where they are
            target: share of the way left where they go

        Returns:
            The cases that came there
        """
        before = self.at[cases], self.size[cases], self.split[cases]
        there = self._found(cases, target)
        lost = ~there & ~self.over[cases]
        short = cases[lost]
        if len(short) and left - target > _SHORTEST:
            self.at[short], self.size[short], self.split[short] = (part[lost] for part in before)
            middle = 0.5 * (left + target)
            short = self.gone(self.gone(short, left, middle), middle, target)
            there |= np.isin(cases, short)
        return cases[there]

    def _found(self, cases: IntArray, target: float) -> BoolArray:
        """Newton with so much of the way left; which cases came there."""
        last = target == _STEPS[-1]
        near, close = (TOLERANCE, _EXACT) if last else (_ROUGH * self.car.mass * GRAVITY, _ROUGH)
        there = np.zeros(len(cases), dtype=np.bool_)
        move = np.zeros((len(cases), FREEDOMS + 1))
        for _ in range(_LAST_ROUNDS if last else _ROUNDS):
            rows = np.flatnonzero(~there & ~self.over[cases])
            if not len(rows):
                break
            now = cases[rows]
            miss, slope, reached = self._about(now)
            miss[:, FREEDOMS] = miss[:, FREEDOMS] / self.whole[now] - target
            slope[:, FREEDOMS] /= self.whole[now, None]
            inverse = np.linalg.pinv(slope)
            at_rest = reached & (np.abs(miss[:, :FREEDOMS]).max(axis=1) <= near) & (np.abs(miss[:, FREEDOMS]) <= close)
            grows = (inverse[:, FREEDOMS, FREEDOMS] < 0) & (self.size[now] <= self.most)  # as the way gets shorter
            self.over[now] = at_rest & ~grows
            there[rows] = at_rest & grows
            step = -(inverse @ miss[..., None])[..., 0]
            step *= np.minimum(1.0, _LONGEST / np.maximum(np.abs(step[:, :FREEDOMS]).max(axis=1), 1e-300))[:, None]
            move[rows] = np.where(at_rest[:, None], 0.0, np.where(reached[:, None], step, -0.5 * np.abs(move[rows])))
            self.at[now] += move[rows, :FREEDOMS]
            self.size[now] += move[rows, FREEDOMS]
        return there

    def _about(self, cases: IntArray) -> tuple[Array, Array, BoolArray]:
        """Unbalanced forces and what tells the event, (cases, 8), their slope, (cases, 8, 8), and what is reached."""
        at, size = self.at[cases], self.size[cases]
        here = around(self.car, at, self.growing.acting(cases, size), more=1)
        self.split[cases] = split_better(self.car, at, here.still, self.growing.acting(cases, size), self.split[cases])
        ways = FREEDOMS + 1
        grown = np.concatenate((np.tile(size + 0j, FREEDOMS), size + 1j * STEP))
        every = np.tile(cases, ways)
        now = acted(
            self.car,
            perturbed(at, more=1),
            here.perturbed,
            self.growing.acting(every, grown),
            np.concatenate([self.split[cases]] * ways),
        )
        told = self.telling(now, grown, every)
        values = np.concatenate((now.unbalanced, told[:, None]), axis=1).reshape(ways, len(cases), ways)
        return values[0].real.copy(), np.asarray(values.imag.transpose(1, 2, 0) / STEP), here.reached
