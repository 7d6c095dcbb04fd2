"""Pairs of a front and a rear variant: the roll at which both hold the body, and what follows from it. Plain arrays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array, IntArray
from jounce.search.goals import METRICS, Goal

BRISK, GENTLE = 2, 1
"""Where among the accelerations 0.6 g and 4 m/s² are."""
_FIRST_LIFT = 2  # accelerations below are not looked at for wheel lift


@dataclass(frozen=True, slots=True)
class Half:
    """One axle's variants for the pairs: plain arrays, so that they travel between processes.

    Attributes:
        moment: for both turns, shape (variants, 2, rolls, accelerations) [N m]
        load: inside and outside wheel, shape (variants, 2, rolls, accelerations, 2) [N]
        frequency: shape (variants,) [Hz]
        bump: shape (variants,) [m]
        free: shape (variants,) [m]
        price: shape (variants,) [money]

    """

    moment: Array
    load: Array
    frequency: Array
    bump: Array
    free: Array
    price: Array

    def take(self, which: slice | IntArray) -> Half:
        """Some of the variants."""
        return Half(*(getattr(self, name)[which] for name in Half.__dataclass_fields__))


@dataclass(frozen=True, slots=True)
class Judge:
    """What pairs are judged by.

    Attributes:
        rolls: rolls that were worked out, rising, equal steps [rad]
        across: sizes of the lateral accelerations [m/s²]
        body: body's roll moment for both turns, shape (2, rolls, accelerations) [N m]
        standing: load moved to the outside standing, front and rear, for both turns, shape (2, 2) [N]
        goals: windows
        budget: most that a package may cost [money]
        kept: how many pairs a task gives back

    """

    rolls: Array
    across: Array
    body: Array
    standing: Array
    goals: tuple[Goal, ...]
    budget: float
    kept: int


@dataclass(frozen=True, slots=True)
class FoundPairs:
    """The best pairs of a task.

    Attributes:
        front: front variant of each pair, shape (pairs,)
        rear: rear variant, shape (pairs,)
        score: sum of weighted squared misses; zero is all that was asked for, shape (pairs,) [-]
        fineness: how far from the middles of the windows, mean over the goals, shape (pairs,) [-]
        price: shape (pairs,) [money]
        metrics: numbers by name, each (pairs,)
        failing: how many checks of what is wanted each fails as a whole job, or by those worked out so far is thought to;
            none until one is worked out, shape (pairs,)
        looked: how many pairs were judged
        met: how many of them meet every goal

    """

    front: IntArray
    rear: IntArray
    score: Array
    fineness: Array
    price: Array
    metrics: Mapping[str, Array]
    failing: IntArray
    looked: int
    met: int

    def take(self, which: IntArray) -> FoundPairs:
        """Some of the pairs."""
        told = {name: getattr(self, name)[which] for name in ("front", "rear", "score", "fineness", "price", "failing")}
        metrics = {name: values[which] for name, values in self.metrics.items()}
        return FoundPairs(**told, metrics=metrics, looked=self.looked, met=self.met)

    @property
    def merit(self) -> Array:
        """What pairs are told by, the least first: a check that fails counts as a goal missed by a whole, (pairs,) [-]."""
        return np.asarray(self.score + self.failing)

    def price_front(self) -> list[int]:
        """Pairs that no cheaper one equals, the cheapest first."""
        best, front, merit = np.inf, [], self.merit
        for k in np.lexsort((self.fineness, merit, self.price)):
            if merit[k] < best:
                best = merit[k]
                front.append(int(k))
        return front

    def three(self) -> dict[str, int]:
        """Good, better, best: the cheapest of the best merit, the finest at half the way in price, the finest of all."""
        if not len(self.score):
            return {}
        met = np.flatnonzero(self.merit <= self.merit.min() + _SAME_SCORE)
        good = int(met[np.lexsort((self.fineness[met], self.price[met]))[0]])
        best = int(met[np.lexsort((self.price[met], self.fineness[met]))[0]])
        middle = met[self.price[met] <= 0.5 * (self.price[good] + self.price[best])]
        better = int(middle[np.lexsort((self.price[middle], self.fineness[middle]))[0]]) if len(middle) else good
        return {"good": good, "better": better, "best": best}


_SAME_SCORE = 1e-9


def judge_pairs(front: Half, rear: Half, first: int, judge: Judge) -> FoundPairs:
    """Judge every pair of some front variants with all rear ones.

    Args:
        front: some front variants
        rear: all rear variants
        first: number of the first front variant
        judge: what they are judged by
    """
    metrics = pair_metrics(front, rear, judge)
    price = (front.price[:, None] + rear.price[None]).ravel()
    score = score_of(metrics, judge.goals)
    score = np.where(price <= judge.budget, score, np.inf)
    fineness = fineness_of(metrics, judge.goals)
    best = kept_of(score, fineness, price, in_hand(metrics), judge.kept)
    count = len(rear.price)
    return FoundPairs(
        first + best // count,
        best % count,
        score[best],
        fineness[best],
        price[best],
        {name: values[best] for name, values in metrics.items()},
        np.zeros(len(best), dtype=np.intp),
        len(score),
        int((score <= 0).sum()),
    )


def score_of(metrics: Mapping[str, Array], goals: tuple[Goal, ...]) -> Array:
    """Sum of weighted squared misses, shape (pairs,) [-]."""
    total: Array = np.zeros(len(next(iter(metrics.values()))))
    for goal in goals:
        total = total + goal.weight * goal.miss(metrics[goal.metric]) ** 2
    return total


def fineness_of(metrics: Mapping[str, Array], goals: tuple[Goal, ...]) -> Array:
    """How far from the middles of the windows, in half windows, mean by weight over the goals, shape (pairs,) [-]."""
    total: Array = np.zeros(len(next(iter(metrics.values()))))
    for goal in goals:
        half = max(0.5 * (goal.high - goal.low), 1e-12)
        total = total + goal.weight * np.abs(metrics[goal.metric] - 0.5 * (goal.high + goal.low)) / half
    return np.asarray(total / max(sum(goal.weight for goal in goals), 1e-12))


def in_hand(metrics: Mapping[str, Array]) -> Array:
    """How much a pair has of what the checks of a whole job ask for beside the goals, shape (pairs,) [-].

    Load moved in front rather than behind, so that the front goes first at the limit, and travel to the rubbers, for
    people and bends. It only says of which pairs some are kept to be worked out.
    """
    each = (metrics[name] / METRICS[name].scale for name in ("front_share", "front_free", "rear_free"))
    return np.asarray(sum(np.nan_to_num(one) for one in each))


def kept_of(score: Array, fineness: Array, price: Array, spare: Array, kept: int) -> IntArray:
    """The best by score: the finest, the cheapest, those with most in hand; and those that no cheaper one equals."""
    good = np.flatnonzero(np.isfinite(score) & np.isfinite(fineness))
    fine = good[np.lexsort((price[good], fineness[good], score[good]))][:kept]
    cheap = good[np.lexsort((fineness[good], price[good], score[good]))][:kept]
    safe = good[np.lexsort((price[good], -spare[good], score[good]))][:kept]
    by_price = good[np.lexsort((fineness[good], score[good], price[good]))]
    front = by_price
    if len(by_price):
        least = np.minimum.accumulate(score[by_price])
        front = by_price[np.append(True, least[1:] < least[:-1])]
    return np.unique(np.concatenate((fine, cheap, safe, front)))


def pair_metrics(front: Half, rear: Half, judge: Judge) -> dict[str, Array]:
    """Every number of every pair, front after front, each shape (pairs,)."""
    gradients, shares, lifts = [], [], []
    for turn in (0, 1):
        rolls, moved, inside = _in_turn(front, rear, judge, turn)
        gradients.append((rolls[..., GENTLE] - rolls[..., 0]) / judge.across[GENTLE])
        change = moved - judge.standing[turn]
        shares.append(change[..., 0] / change.sum(axis=-1))
        lifts.append(_lift(inside, judge.across[_FIRST_LIFT:]))
    spread = np.ones((len(front.price), len(rear.price)))
    return {
        "front_frequency": (front.frequency[:, None] * spread).ravel(),
        "rear_frequency": (rear.frequency[None] * spread).ravel(),
        "frequency_ratio": (rear.frequency[None] / front.frequency[:, None]).ravel(),
        "roll_gradient": np.mean(gradients, axis=0).ravel(),
        "front_share": np.mean(shares, axis=0).ravel(),
        "rear_lift": np.min(lifts, axis=0).ravel(),
        "front_bump": (front.bump[:, None] * spread).ravel(),
        "rear_bump": (rear.bump[None] * spread).ravel(),
        "front_free": (front.free[:, None] * spread).ravel(),
        "rear_free": (rear.free[None] * spread).ravel(),
    }


def _in_turn(front: Half, rear: Half, judge: Judge, turn: int) -> tuple[Array, Array, Array]:
    """Roll (f, r, a), load moved at 0.6 g by axle (f, r, 2), load of the inside rear wheel (f, r, a from 0.6 g)."""
    rolls, inside = [], []
    moved: Array = np.zeros((len(front.price), len(rear.price), 2))
    for a in range(len(judge.across)):
        total = front.moment[:, None, turn, :, a] + rear.moment[None, :, turn, :, a] + judge.body[turn, :, a]
        roll, first, weight = _balanced(total, judge.rolls)
        rolls.append(roll)
        if a < _FIRST_LIFT:
            continue
        inside.append(_blend(rear.load[None, :, turn, :, a, 0], first, weight))
        if a == BRISK:
            for axle, half in ((0, front.load[:, None]), (1, rear.load[None])):
                outer, inner = (_blend(half[:, :, turn, :, a, k], first, weight) for k in (1, 0))
                moved[..., axle] = 0.5 * (outer - inner)
    return np.stack(rolls, -1), moved, np.stack(inside, -1)


def _balanced(total: Array, rolls: Array) -> tuple[Array, IntArray, Array]:
    """Roll at which a falling moment is none; four grid points around it and their weights. NaN beyond the grid."""
    count = total.shape[-1]
    above = (total > 0).sum(axis=-1)  # what was not reached lies beyond, at large rolls
    outside = (above == 0) | (above == count)
    first = np.clip(above - 2, 0, count - 4)
    near = np.take_along_axis(total, first[..., None] + np.arange(4), axis=-1)
    share = np.zeros_like(near)
    for i in range(4):  # the inverse function through four points
        others = [j for j in range(4) if j != i]
        product = np.ones_like(near[..., 0])
        for j in others:
            product = (
                product * near[..., j] / np.where(near[..., j] == near[..., i], np.inf, near[..., j] - near[..., i])
            )
        share[..., i] = product
    place = np.clip((share * np.arange(4)).sum(axis=-1), 0.0, 3.0)
    step = rolls[1] - rolls[0]
    roll = np.where(outside, np.nan, rolls[0] + step * (first + place))
    weight = np.stack(
        [np.prod([(place - j) / (i - j) for j in range(4) if j != i], axis=0) for i in range(4)],
        axis=-1,
    )
    return roll, first, weight


def _blend(values: Array, first: IntArray, weight: Array) -> Array:
    shape = (*first.shape, values.shape[-1])
    near = np.take_along_axis(np.broadcast_to(values, shape), first[..., None] + np.arange(4), axis=-1)
    return np.asarray((near * weight).sum(axis=-1))


def _lift(load: Array, across: Array) -> Array:
    """Acceleration at which the load is used up; the last one where it is not, NaN where it is not known.

    Carried on from the last two accelerations at which the wheel was loaded: once it is lifted other things happen.
    """
    up = ~(load > 0)  # also where the body rolls farther than was worked out
    first = np.where(up.any(axis=-1), np.argmax(up, axis=-1), load.shape[-1])
    after = np.clip(first, 2, load.shape[-1] - 1)
    low, high = (np.take_along_axis(load, (after - k)[..., None], axis=-1)[..., 0] for k in (2, 1))
    fall = np.where(low > high, (low - high) / (across[after - 1] - across[after - 2]), np.inf)
    found = np.clip(across[after - 1] + high / fall, across[after - 1], across[after])
    found = np.where(first >= load.shape[-1], across[-1], found)
    return np.asarray(np.where(first < 2, np.nan, found))
