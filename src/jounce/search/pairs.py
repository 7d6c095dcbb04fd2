"""Pairs of a front and a rear variant: the roll at which both hold the body, and what follows from it. Plain arrays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array, IntArray
from jounce.search.goals import METRICS, Goal
from jounce.search.kernels.pairing import NAMES, AxleArrays, Marks, judge_block, number_pairs


@dataclass(frozen=True, slots=True)
class Half:
    """One axle's variants for the pairs: plain arrays, so that they travel between processes.

    Attributes:
        moment: for both turns, shape (variants, 2, accelerations, rolls) [N m]
        load: inside and outside wheel, shape (variants, 2, 2, accelerations, rolls) [N]
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

    def arrays(self) -> AxleArrays:
        """The same for compiled functions, which want one kind of array however it came here."""
        return AxleArrays(*(plain(getattr(self, name)) for name in AxleArrays._fields))


def plain(array: Array) -> Array:
    """An array of the one kind that is compiled for: what came from another process may not be written to.

    Args:
        array: any array of numbers [as given]
    """
    return np.asarray(np.require(array, np.float64, ("C", "W")))


@dataclass(frozen=True, slots=True)
class Judge:
    """What pairs are judged by.

    Attributes:
        rolls: rolls that were worked out, rising, equal steps [rad]
        across: sizes of the lateral accelerations [m/s²]
        body: body's roll moment for both turns, shape (2, accelerations, rolls) [N m]
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

    def marks(self) -> Marks:
        """The same for compiled functions."""
        window = [
            (goal.low, goal.high, goal.weight, METRICS[goal.metric].scale, max(0.5 * (goal.high - goal.low), 1e-12))
            for goal in self.goals
        ]
        return Marks(
            plain(self.rolls),
            plain(self.across),
            plain(self.body),
            plain(self.standing),
            np.array([NAMES.index(goal.metric) for goal in self.goals], dtype=np.intp),
            np.array(window, dtype=np.float64).reshape(-1, 5),
            np.array([METRICS[name].scale for name in _IN_HAND]),
            float(self.budget),
        )


_IN_HAND = ("front_share", "front_free", "rear_free")


@dataclass(frozen=True, slots=True)
class FoundPairs:
    """The best pairs of a task.

    Attributes:
        front: front variant of each pair, shape (pairs,)
        rear: rear variant, shape (pairs,)
        branch: which of the car's wheels they are of, shape (pairs,)
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
    branch: IntArray
    score: Array
    fineness: Array
    price: Array
    metrics: Mapping[str, Array]
    failing: IntArray
    looked: int
    met: int

    def take(self, which: IntArray) -> FoundPairs:
        """Some of the pairs."""
        names = ("front", "rear", "branch", "score", "fineness", "price", "failing")
        told = {name: getattr(self, name)[which] for name in names}
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


def judge_pairs(front: Half, rear: Half, which: range, judge: Judge) -> FoundPairs:
    """Judge every pair of some front variants with all rear ones, block after block.

    Args:
        front: all front variants
        rear: all rear variants
        which: numbers of the front variants
        judge: what they are judged by
    """
    both, marks = (front.arrays(), rear.arrays()), judge.marks()
    rows = max(1, _BLOCK // len(rear.price))
    parts = [_block(both, marks, range(k, min(k + rows, which.stop)), judge) for k in which[::rows]]
    return merged(parts, judge.kept)


_BLOCK = 16_384
"""Pairs whose marks lie in the processor's own memory together."""


def _block(both: tuple[AxleArrays, AxleArrays], marks: Marks, which: range, judge: Judge) -> FoundPairs:
    front, rear = both
    count = len(rear.price)
    score, fineness, spare, price = np.empty((4, len(which) * count))
    judge_block(front, rear, marks, which.start, which.stop, score, fineness, spare, price)
    best = kept_of(score, fineness, price, spare, judge.kept)
    fronts, rears = which.start + best // count, best % count
    numbers = np.empty((len(best), len(NAMES)))
    number_pairs(front, rear, marks, fronts, rears, numbers)
    return FoundPairs(
        fronts,
        rears,
        np.zeros(len(best), dtype=np.intp),
        score[best],
        fineness[best],
        price[best],
        {name: numbers[:, k].copy() for k, name in enumerate(NAMES)},
        np.zeros(len(best), dtype=np.intp),
        len(score),
        int((score <= 0).sum()),
    )


def merged(parts: Sequence[FoundPairs], kept: int) -> FoundPairs:
    """The best of all that was found, the best first; equal ones in the order of their variants, however they came.

    Args:
        parts: what was found, in any order
        kept: how many are kept by each mark
    """
    names = ("front", "rear", "branch", "score", "fineness", "price")
    told = {name: np.concatenate([getattr(part, name) for part in parts]) for name in names}
    metrics = {n: np.concatenate([part.metrics[n] for part in parts]) for n in parts[0].metrics}
    order = np.lexsort((told["rear"], told["front"], told["branch"]))
    told, metrics = ({name: values[order] for name, values in each.items()} for each in (told, metrics))
    chosen = kept_of(told["score"], told["fineness"], told["price"], in_hand(metrics), kept)
    order = chosen[np.lexsort((told["price"][chosen], told["fineness"][chosen], told["score"][chosen]))]
    looked, met = (sum(getattr(part, name) for part in parts) for name in ("looked", "met"))
    return FoundPairs(
        **{name: values[order] for name, values in told.items()},
        metrics={name: values[order] for name, values in metrics.items()},
        failing=np.zeros(len(order), dtype=np.intp),
        looked=looked,
        met=met,
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
    each = (metrics[name] / METRICS[name].scale for name in _IN_HAND)
    return np.asarray(sum(np.nan_to_num(one) for one in each))


def kept_of(score: Array, fineness: Array, price: Array, spare: Array, kept: int) -> IntArray:
    """The best by score: the finest, the cheapest, those with most in hand; and those that no cheaper one equals.

    Of equal ones those that come first. What is kept of a whole is what is kept of what its parts keep.

    Args:
        score: shape (pairs,) [-]
        fineness: shape (pairs,) [-]
        price: shape (pairs,) [money]
        spare: see `in_hand`, shape (pairs,) [-]
        kept: how many of each
    """
    good = np.flatnonzero(np.isfinite(score) & np.isfinite(fineness))
    fine = _first(good, (score, fineness, price), kept)
    cheap = _first(good, (score, price, fineness), kept)
    safe = _first(good, (score, -spare, price), kept)
    likely = good[_improving(price[good], score[good])]
    by_price = likely[np.lexsort((fineness[likely], score[likely], price[likely]))]
    front = by_price
    if len(by_price):
        least = np.minimum.accumulate(score[by_price])
        front = by_price[np.append(True, least[1:] < least[:-1])]
    return np.unique(np.concatenate((fine, cheap, safe, front)))


def _first(among: IntArray, keys: tuple[Array, ...], count: int) -> IntArray:
    """The first few in the order of some keys, the first key first, equal ones in their own order; not sorted."""
    sure: list[IntArray] = []
    for key in keys:
        if len(among) <= count:
            break
        values = key[among]
        edge = np.partition(values, count - 1)[count - 1]
        sure.append(among[values < edge])
        count -= len(sure[-1])
        among = among[values == edge]
    return np.concatenate((*sure, among[:count]))


def _improving(price: Array, score: Array) -> IntArray:
    """Those that may stand where the score first falls so low as the price rises: few are left to be sorted exactly."""
    order = np.argsort(price, kind="stable")
    own, cost = score[order], price[order]
    least = np.minimum.accumulate(own)
    begins = np.maximum.accumulate(np.where(np.append(True, least[1:] < least[:-1]), np.arange(len(own)), 0))
    return np.asarray(order[(own == least) & (cost == cost[begins])] if len(own) else order)
