"""The search itself: halves, pairs, what is kept - with progress, a stop, and any executor."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import Impossible
from jounce.job.search.build import SearchSpace
from jounce.job.search.goals import Goal
from jounce.job.search.pairs import Found, Half, Judge, judge_pairs, kept_of
from jounce.job.search.roll_curves import ACROSS_AT, CHUNK, ROLLS, Curves, body_moment, roll_curves
from jounce.job.search.variants import Limits, Variants, frequencies, limits, variants_of
from jounce.job.shelf.part import Part
from jounce.numerics.arrays import IntArray

TURNS = (1.0, -1.0)
MOST_HALVES = 6000
"""Variants of an axle that are worked out at most: more would take too long."""
_PAIRS_OF_A_TASK = 20_000
_CURVES_SHARE = 0.7  # of the time, told as progress


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a search is asked for.

    Attributes:
        goals: windows
        budget: most that the parts may cost, in the shelf's currency
        least_bump: travel wanted until something is solid [m]
        least_free: travel wanted until the rubber [m]
        kept: packages kept of each task

    """

    goals: tuple[Goal, ...]
    budget: float = np.inf
    least_bump: float = 0.045
    least_free: float = 0.010
    kept: int = 40


@dataclass(frozen=True, slots=True)
class Axle:
    """One axle in a search: all variants, their limits, and which of them are left to pair."""

    all: Variants
    limits: Limits
    left: Variants


@dataclass(frozen=True, slots=True)
class Result:
    """What a search found.

    Attributes:
        space: what packages are made of
        wanted: what was asked for
        axles: front and rear
        combinations: how many packages there are, those that break a limit counted
        found: the packages kept, best first, and how many were judged and met every goal
        stopped: whether it was stopped before its end

    """

    space: SearchSpace
    wanted: Wanted
    axles: tuple[Axle, Axle]
    combinations: int
    found: Found
    stopped: bool

    def package(self, number: int) -> dict[str, Part]:
        """Parts of a kept package, by slot."""
        front, rear = self.axles
        return front.left.parts(int(self.found.front[number])) | rear.left.parts(int(self.found.rear[number]))

    def hours(self, number: int) -> float:
        """Labour of a kept package [h]."""
        front, rear = self.axles
        return float(front.left.hours[self.found.front[number]] + rear.left.hours[self.found.rear[number]])

    def price_front(self) -> list[int]:
        """Kept packages that no cheaper one equals, the cheapest first."""
        order = np.lexsort((self.found.fineness, self.found.score, self.found.price))
        best, front = np.inf, []
        for k in order:
            if self.found.score[k] < best:
                best = self.found.score[k]
                front.append(int(k))
        return front

    def three(self) -> dict[str, int]:
        """Good, better, best: the cheapest of the best score, the finest at half the way in price, the finest of all."""
        found = self.found
        if not len(found.score):
            return {}
        met = np.flatnonzero(found.score <= found.score.min() + _SAME_SCORE)
        good = int(met[np.lexsort((found.fineness[met], found.price[met]))[0]])
        best = int(met[np.lexsort((found.price[met], found.fineness[met]))[0]])
        middle = met[found.price[met] <= 0.5 * (found.price[good] + found.price[best])]
        better = int(middle[np.lexsort((found.price[middle], found.fineness[middle]))[0]]) if len(middle) else good
        return {"good": good, "better": better, "best": best}


_SAME_SCORE = 1e-9


def search(
    space: SearchSpace,
    wanted: Wanted,
    executor: Executor | None = None,
    progress: Callable[[float], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Result:
    """Judge every package.

    Args:
        space: what packages are made of
        wanted: goals and limits
        executor: what works the pairs out; threads of this process when left out
        progress: told the share done
        stop: asked now and then whether to end with what was found so far

    Raises:
        Impossible: no variant of an axle keeps the limits, or there are too many
    """
    tell, ended = progress or _nothing, stop or _never
    axles = tuple(_axle(space, k, wanted) for k in (0, 1))
    combinations = len(axles[0].all) * len(axles[1].all)
    half = _CURVES_SHARE / 2
    halves = [
        _half(space, 0, axles[0], lambda share: tell(half * share), ended),
        _half(space, 1, axles[1], lambda share: tell(half * (1 + share)), ended),
    ]
    judge = _judge(space, wanted)
    rest = 1 - _CURVES_SHARE
    found, stopped = _pairs(halves, judge, executor, lambda share: tell(_CURVES_SHARE + rest * share), ended)
    tell(1.0)
    return Result(space, wanted, (axles[0], axles[1]), combinations, found, stopped)


def _nothing(_share: float) -> None:
    """Nobody is looking."""


def _never() -> bool:
    return False


def _axle(space: SearchSpace, number: int, wanted: Wanted) -> Axle:
    name = ("front", "rear")[number]
    every = variants_of(space.axles[number])
    kept = limits(every, wanted.least_bump, wanted.least_free)
    if not kept.kept.any():
        told = ", ".join(f"{limit} ({int(which.sum())})" for limit, which in kept.broken.items() if which.any())
        raise Impossible(f"No choice of {name} parts keeps the limits. Of {len(every)} choices these break: {told}.")
    left = every.take(_cheapest_of_same(every, np.flatnonzero(kept.kept)))
    if len(left) > MOST_HALVES:
        raise Impossible(
            f"There are {len(left)} choices of {name} parts, more than {MOST_HALVES}: leave some places as they are "
            "(--place), or look only at what is in stock."
        )
    return Axle(every, kept, left)


def _cheapest_of_same(variants: Variants, which: IntArray) -> IntArray:
    """Of variants that push alike (seats of another thread) only the cheapest."""
    springs = variants.space.choices[0]
    alike: dict[object, int] = {}
    for number, option in enumerate(springs):
        spring = next((p.code for name, p in option.parts.items() if "perch" not in name), "")
        alike.setdefault(spring, number)
    same = np.array(
        [alike[next((p.code for n, p in o.parts.items() if "perch" not in n), "")] for o in springs], dtype=np.intp
    )
    keys = variants.chosen[which].copy()
    keys[:, 0] = same[keys[:, 0]]
    order = np.argsort(variants.price[which], kind="stable")
    _, first = np.unique(keys[order], axis=0, return_index=True)
    return np.asarray(which[order[first]], dtype=np.intp)


def _half(
    space: SearchSpace, number: int, axle: Axle, progress: Callable[[float], None], stop: Callable[[], bool]
) -> Half:
    left, frame = axle.left, space.frame(number)
    starts = list(range(0, len(left), CHUNK))

    def curves(start: int) -> list[Curves]:
        part = left.take(slice(start, start + CHUNK))
        return [roll_curves(part, frame, turn) for turn in TURNS]

    found: list[list[Curves]] = []
    with ThreadPoolExecutor() as threads:
        for k, both in enumerate(threads.map(curves, starts)):
            found.append(both)
            progress((k + 1) / len(starts))
            if stop():
                threads.shutdown(cancel_futures=True)
                raise Impossible("The search was stopped before any package could be judged.")
    turns = [Curves.joined([both[t] for both in found]) for t in (0, 1)]
    moment = np.stack([turns[t].moment * TURNS[t] for t in (0, 1)], axis=1)
    load = np.stack((turns[0].load, turns[1].load[..., ::-1]), axis=1)
    rows = _rows_of(axle)
    return Half(moment, load, frequencies(left), axle.limits.bump[rows], axle.limits.free[rows], left.price)


def _rows_of(axle: Axle) -> IntArray:
    """Where the variants left to pair are among all."""
    width = [len(group) for group in axle.all.space.choices]
    every, left = (np.asarray(np.ravel_multi_index(tuple(v.chosen.T), width)) for v in (axle.all, axle.left))
    order = np.argsort(every)
    return np.asarray(order[np.searchsorted(every[order], left)], dtype=np.intp)


def _judge(space: SearchSpace, wanted: Wanted) -> Judge:
    frame = space.frame(0)
    body = np.stack(
        [turn * body_moment(space.car, frame.pitch, frame.roll + turn * ROLLS, turn * ACROSS_AT) for turn in TURNS]
    )
    load = space.rest.acted.load[0]
    out = 0.5 * (load[:, 1] - load[:, 0])
    return Judge(ROLLS, ACROSS_AT, body, np.stack((out, -out)), wanted.goals, wanted.budget, wanted.kept)


def _pairs(
    halves: Sequence[Half],
    judge: Judge,
    executor: Executor | None,
    progress: Callable[[float], None],
    stop: Callable[[], bool],
) -> tuple[Found, bool]:
    front, rear = halves
    size = max(1, _PAIRS_OF_A_TASK // len(rear.price))
    starts = range(0, len(front.price), size)
    own = executor is None
    workers = ThreadPoolExecutor() if executor is None else executor
    found: list[Found] = []
    stopped = False
    try:
        tasks = [(start, front.take(slice(start, start + size))) for start in starts]
        for future in _in_turn(workers, tasks, rear, judge):
            found.append(future.result())
            progress(len(found) / len(tasks))
            if stop():
                stopped = True
                break
    finally:
        if own:
            workers.shutdown(cancel_futures=True)
    return _merged(found, judge.kept), stopped


_AHEAD = 8  # tasks that wait at most: memory stays bounded


def _in_turn(workers: Executor, tasks: Sequence[tuple[int, Half]], rear: Half, judge: Judge) -> Iterator[Future[Found]]:
    waiting: list[Future[Found]] = []
    for start, part in tasks:
        waiting.append(workers.submit(judge_pairs, part, rear, start, judge))
        if len(waiting) > _AHEAD:
            yield waiting.pop(0)
    yield from waiting


def _merged(parts: Sequence[Found], kept: int) -> Found:
    names = ("front", "rear", "score", "fineness", "price")
    told = {name: np.concatenate([getattr(part, name) for part in parts]) for name in names}
    metrics = {n: np.concatenate([part.metrics[n] for part in parts]) for n in parts[0].metrics}
    chosen = kept_of(told["score"], told["fineness"], told["price"], kept)
    order = np.lexsort((told["price"][chosen], told["fineness"][chosen], told["score"][chosen]))
    chosen = chosen[order]
    return Found(
        told["front"][chosen],
        told["rear"][chosen],
        told["score"][chosen],
        told["fineness"][chosen],
        told["price"][chosen],
        {name: values[chosen] for name, values in metrics.items()},
        sum(part.looked for part in parts),
        sum(part.met for part in parts),
    )
