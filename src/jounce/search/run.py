"""The search itself: halves, pairs, what is kept - with progress, a stop, and any executor."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

import numpy as np

from jounce.conventions.errors import Impossible
from jounce.numerics.arrays import IntArray
from jounce.search.axle_space import Option
from jounce.search.build import SearchSpace
from jounce.search.openings import parts_not_known_to_fit, places_to_open
from jounce.search.pairs import FoundPairs, Half, Judge, judge_pairs, merged
from jounce.search.proof import proved
from jounce.search.result import AxleSearch, Branch, Result, SearchWishes
from jounce.search.roll_curves import ACROSS_AT, CHUNK, ROLLS, Curves, body_moment, both_turns, rolling_axle
from jounce.search.slots import cost_of
from jounce.search.tasks import Run
from jounce.search.variants import AxleVariants, VariantLimits, frequencies, limits, variants_of
from jounce.search.workers import Workers, workers_of

TURNS = (1.0, -1.0)
MOST_HALVES = 6000
"""Variants of an axle that are worked out at most: more would take too long."""
_PAIRS_OF_A_TASK, _MOST_TASKS = 20_000, 16
# the fewest pairs of a task, and the most tasks for each worker: each a few tenths of a second
_CURVES_DONE, _PAIRS_DONE = 0.7, 0.7  # of the judging, of the time, told as progress
_PAIRS_AFTER_STOP = 8  # tasks


class NoChoice(Impossible):
    """No choice of an axle's parts keeps the limits.

    Args:
        message: all of it in words
        broken: of each axle without a choice, how many choices break each limit
        opening: places that give a choice if they are looked at too; none where no such are known
        waiting: of each axle without a choice, how many parts were left out since it is not known whether they fit

    """

    def __init__(
        self,
        message: str,
        broken: Mapping[str, Mapping[str, int]],
        opening: Sequence[str],
        waiting: Mapping[str, int] | None = None,
    ) -> None:
        super().__init__(message)
        self.broken, self.opening, self.waiting = broken, tuple(opening), dict(waiting or {})

    def __reduce__(self) -> tuple[object, ...]:
        """As it is sent from one process to another."""
        return NoChoice, (self.message, self.broken, self.opening, self.waiting)


class Stopped(Impossible):
    """The search was stopped before any package could be judged."""


def search(
    space: SearchSpace,
    wanted: SearchWishes,
    executor: Executor | Workers | None = None,
    progress: Callable[[float], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Result:
    """Judge every package.

    Args:
        space: what packages are made of
        wanted: goals and limits
        executor: what works everything out; threads of this process when left out
        progress: told the share done
        stop: asked now and then whether to end with what was found so far

    Raises:
        Impossible: no variant of an axle keeps the limits, or there are too many
        Stopped: the search was stopped before any package could be judged
    """
    tell, ended = progress or _nothing, stop or _never
    with workers_of(executor) as workers:
        branches, refused = _branches(space, wanted)
        result = _searched(branches, wanted, Run(workers, _part(tell, 0.0, _PAIRS_DONE), ended))
        result = replace(result, refused=(*space.refused, *refused))
        if wanted.proofs and not result.stopped:
            result = proved(result, Run(workers, _part(tell, _PAIRS_DONE, 1.0), ended))
    tell(1.0)
    return result


def _branches(space: SearchSpace, wanted: SearchWishes) -> tuple[tuple[Branch, ...], list[str]]:
    """The search on each choice of wheels with which some choice of parts keeps the limits; why others have none.

    Raises:
        Impossible: none has; said of the car's own wheels
    """
    branches: list[Branch] = []
    without: list[Impossible] = []
    for one in space.every:
        try:
            branches.append(Branch(one, _axles(one, wanted)))
        except Impossible as problem:
            without.append(problem)
            if len(space.every) > 1:
                codes = " with ".join(dict.fromkeys(part.code for part in one.wheels.values()))
                problem.place = codes or "on the wheels that the car has"
    if not branches:
        without[0].place = ""
        raise without[0]
    return tuple(branches), [str(problem) for problem in without]


def _searched(branches: Sequence[Branch], wanted: SearchWishes, run: Run) -> Result:
    """Every package on every choice of wheels, one choice after the other.

    Raises:
        Stopped: nothing was judged yet
    """
    looked: list[Branch] = []
    found: list[FoundPairs] = []
    left_out = ""
    for number, branch in enumerate(branches):
        share = number / len(branches)
        try:
            one, pairs, left_out = _judged(
                branch, wanted, replace(run, tell=_part(run.tell, share, share + 1 / len(branches)))
            )
        except Stopped:
            if not found:
                raise
            left_out = f"{number} of {len(branches)} choices of wheels were looked at"
            break
        looked.append(one)
        found.append(replace(pairs, branch=np.full(len(pairs.front), number, dtype=np.intp)))
        if left_out and number + 1 < len(branches):
            left_out = f"{left_out}; {number + 1} of {len(branches)} choices of wheels were looked at"
        if left_out:
            break
    combinations = sum(branch.combinations for branch in branches)
    return Result(wanted, tuple(looked), combinations, merged(found, wanted.kept), left_out)


def _judged(branch: Branch, wanted: SearchWishes, run: Run) -> tuple[Branch, FoundPairs, str]:
    """The pairs on one choice of wheels; of what, and in words what was left undone.

    Raises:
        Stopped: nothing is there to pair yet
    """
    space, axles, ended = branch.space, branch.axles, run.stop
    curves, after = _curves(space, axles, replace(run, tell=_part(run.tell, 0.0, _CURVES_DONE)))
    if after:
        axles = (_only(axles[0], curves[0].rows), _only(axles[1], curves[1].rows))
    halves = [_half(axle, one) for axle, one in zip(axles, curves, strict=True)]
    halves[0] = replace(halves[0], price=halves[0].price + cost_of(space.wheels)[0])
    stop = _after(_PAIRS_AFTER_STOP, ended) if after else ended
    found, more = _pairs(halves, _judge(space, wanted), Run(run.workers, _part(run.tell, _CURVES_DONE, 1.0), stop))
    return Branch(space, axles), found, "; ".join(filter(None, (after, more)))


def _part(tell: Callable[[float], None], start: float, end: float) -> Callable[[float], None]:
    """Progress of one stretch of the work."""
    return lambda share: tell(start + (end - start) * share)


def _after(times: int, stop: Callable[[], bool]) -> Callable[[], bool]:
    """A stop that was asked for already: some more pairs are judged, so that there is something to tell."""
    left = iter(range(times))
    return lambda: next(left, None) is None and stop()


def _nothing(_share: float) -> None:
    """Nobody is looking."""


def _never() -> bool:
    return False


def _axles(space: SearchSpace, wanted: SearchWishes) -> tuple[AxleSearch, AxleSearch]:
    """Both axles.

    Raises:
        NoChoice: no choice of an axle's parts keeps the limits; it names the places that would have to be looked at too
    """
    every = [variants_of(axle) for axle in space.axles]
    kept = [limits(one, wanted.limits) for one in every]
    told: list[str] = []
    opening: list[str] = []
    without: dict[str, Mapping[str, int]] = {}
    left_out: dict[str, int] = {}
    hopeless = False
    for k, name in enumerate(("front", "rear")):
        if kept[k].kept.any():
            continue
        broken = {limit: int(which.sum()) for limit, which in kept[k].broken.items() if which.any()}
        without[name] = broken
        counts = ", ".join(f"{limit} ({count})" for limit, count in broken.items())
        of_all = "The only one breaks" if len(every[k]) == 1 else f"Of {len(every[k])} choices these break"
        told.append(f"No choice of {name} parts keeps the limits. {of_all}: {counts}.")
        waiting = left_out[name] = parts_not_known_to_fit(space, k)
        if waiting:
            told.append(_WAITING.format(f"{waiting} {name} {'part was' if waiting == 1 else 'parts were'}"))
        names = places_to_open(space, k, wanted.limits, broken)
        opening += names
        hopeless |= not names
    if told:
        options = " ".join(f'--also "{name}"' for name in opening)
        help_ = (
            f"There is a choice with these places looked at too: {options}." if opening and not hopeless else _ASK_LESS
        )
        raise NoChoice(" ".join((*told, help_)), without, () if hopeless else opening, left_out)
    return _axle(every[0], kept[0], "front"), _axle(every[1], kept[1], "rear")


_WAITING = (
    "{} left out since it is not known whether they fit: the list of the shelf says what to measure, or look at parts that "
    "are unsure too."
)
_ASK_LESS = (
    "One or two places more do not help: ask for another height, or put other parts on the shelf. Which springs and "
    "dampers would do, the question which part gives a height and a travel tells."
)


def _axle(every: AxleVariants, kept: VariantLimits, name: str) -> AxleSearch:
    left = every.take(_cheapest_of_same(every, np.flatnonzero(kept.kept)))
    if len(left) > MOST_HALVES:
        raise Impossible(
            f"{len(left):,} choices of {name} parts keep the limits, more than the {MOST_HALVES:,} that are paired: leave "
            "some places as they are, or look only at what is in stock."
        )
    return AxleSearch(every, kept, left)


def _cheapest_of_same(variants: AxleVariants, which: IntArray) -> IntArray:
    """Of variants that push alike (seats of another thread) only the cheapest."""
    springs = variants.space.choices[0]
    alike: dict[object, int] = {}
    for number, option in enumerate(springs):
        spring = _code_of_spring(option)
        alike.setdefault(spring, number)
    same = np.array([alike[_code_of_spring(option)] for option in springs], dtype=np.intp)
    keys = variants.chosen[which].copy()
    keys[:, 0] = same[keys[:, 0]]
    order = np.argsort(variants.price[which], kind="stable")
    _, first = np.unique(keys[order], axis=0, return_index=True)
    return np.asarray(which[order[first]], dtype=np.intp)


_SEATS = ("perches", "shackles", "spacers")
"""Places of parts that set where a spring is seated, and push nothing themselves."""


def _code_of_spring(option: Option) -> str:
    """The spring's code, whatever its seat stands on; empty for the one that stays."""
    springs = (part.code for name, part in option.parts.items() if not name.endswith(_SEATS))
    return next(springs, "")


def _only(axle: AxleSearch, rows: IntArray) -> AxleSearch:
    """An axle with some of the variants left to pair."""
    return AxleSearch(axle.all, axle.limits, axle.left.take(rows))


@dataclass(frozen=True, slots=True)
class _Worked:
    """Curves of both turns for some of an axle's variants, and which they are."""

    rows: IntArray
    both: list[tuple[Curves, Curves]]


def _curves(space: SearchSpace, axles: tuple[AxleSearch, AxleSearch], run: Run) -> tuple[tuple[_Worked, _Worked], str]:
    """Curves of both axles, in turns, so that a stop finds some of each; what was left undone in words.

    Raises:
        Stopped: nothing is there to pair yet
    """
    starts = [(k, start) for k in (0, 1) for start in range(0, len(axles[k].left), CHUNK)]
    order = sorted(starts, key=lambda one: _scattered(one[1] // CHUNK))
    rolling = [run.workers.put(rolling_axle(space.axles[k].elastic, space.frame(k))) for k in (0, 1)]
    parts = ((k, axles[k].left.take(slice(start, start + CHUNK))) for k, start in order)
    tasks = ((both_turns, (rolling[k], part.chosen, part.wound())) for k, part in parts)
    done: tuple[dict[int, tuple[Curves, Curves]], dict[int, tuple[Curves, Curves]]] = ({}, {})
    for number, curves in run.results(tasks, len(order)):
        axle, start = order[number]
        done[axle][start] = curves
    told = [f"{_count(axles[k], done[k])} of {len(axles[k].left)} {name}" for k, name in enumerate(("front", "rear"))]
    undone = f"how the body rolls was worked out for {told[0]} and {told[1]} choices of parts"
    if not (done[0] and done[1]):
        raise Stopped(f"The search was stopped before any package could be judged: {undone}.")
    worked = tuple(_joined(axles[k], done[k]) for k in (0, 1))
    return (worked[0], worked[1]), undone if len(done[0]) + len(done[1]) < len(order) else ""


def _scattered(number: int) -> float:
    """A place between 0 and 1 for each whole number, evenly spread for any first few of them."""
    place, share = 0.0, 0.5
    while number:
        place += share * (number % 2)
        number, share = number // 2, share / 2
    return place


def _count(axle: AxleSearch, done: Mapping[int, object]) -> int:
    return sum(min(CHUNK, len(axle.left) - start) for start in done)


def _joined(axle: AxleSearch, done: Mapping[int, tuple[Curves, Curves]]) -> _Worked:
    starts = sorted(done)
    rows = [np.arange(start, min(start + CHUNK, len(axle.left)), dtype=np.intp) for start in starts]
    return _Worked(np.concatenate(rows), [done[start] for start in starts])


def _half(axle: AxleSearch, worked: _Worked) -> Half:
    left = axle.left
    turns = [Curves.joined([both[t] for both in worked.both]) for t in (0, 1)]
    moment = np.stack([np.moveaxis(turns[t].moment, 1, -1) * TURNS[t] for t in (0, 1)], axis=1)
    inside_first = turns[0].load, turns[1].load[..., ::-1]
    load = np.ascontiguousarray(np.stack([np.transpose(one, (0, 3, 2, 1)) for one in inside_first], axis=1))
    rows = _rows_of(axle)
    return Half(moment, load, frequencies(left), axle.limits.bump[rows], axle.limits.free[rows], left.price)


def _rows_of(axle: AxleSearch) -> IntArray:
    """Where the variants left to pair are among all."""
    width = [len(group) for group in axle.all.space.choices]
    every, left = (np.asarray(np.ravel_multi_index(tuple(v.chosen.T), width)) for v in (axle.all, axle.left))
    order = np.argsort(every)
    return np.asarray(order[np.searchsorted(every[order], left)], dtype=np.intp)


def _judge(space: SearchSpace, wanted: SearchWishes) -> Judge:
    frame = space.frame(0)
    body = np.stack(
        [turn * body_moment(space.car, frame.pitch, frame.roll + turn * ROLLS, turn * ACROSS_AT).T for turn in TURNS]
    )
    load = space.rest.acted.load[0]
    out = 0.5 * (load[:, 1] - load[:, 0])
    return Judge(ROLLS, ACROSS_AT, body, np.stack((out, -out)), wanted.goals, wanted.budget, wanted.kept)


def _pairs(halves: Sequence[Half], judge: Judge, run: Run) -> tuple[FoundPairs, str]:
    """The best of all pairs, and in words what was left undone."""
    count, every = len(halves[0].price), len(halves[0].price) * len(halves[1].price)
    size = max(1, _PAIRS_OF_A_TASK * count // every, count // (_MOST_TASKS * run.workers.count))
    starts = range(0, count, size)
    front, rear = (run.workers.put(half) for half in halves)
    tasks = ((judge_pairs, (front, rear, range(start, min(start + size, count)), judge)) for start in starts)
    found = [part for _, part in run.results(tasks, len(starts))]
    looked = sum(part.looked for part in found)
    undone = f"{looked:,} of {every:,} pairs were judged" if looked < every else ""
    return merged(found, judge.kept), undone
