"""What a search found, tried as whole jobs until three hold: who is tried next, by what those before came to.

The search judges at the wanted heights and knows no check of a whole car. A package that fails one is told only where none
holds, so those that hold are looked for: of each kind of work the likeliest first, in rounds, and each round says of the
others where they would fail.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.case.case import Case
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.numerics.arrays import Array
from jounce.search.goals import Goal
from jounce.search.pairs import fineness_of, score_of
from jounce.search.proof import thought_to_fail, worked_out
from jounce.search.result import Result, Worked
from jounce.search.tasks import Run
from jounce.search.to_job import job_text

__all__ = ["Tried", "kind_of", "missed_by", "tried_packages", "work_out"]

_MOST = 8
"""Packages worked out at most: somebody waits at the counter."""
_AT_ONCE = 4
_ENOUGH = 3
"""After so many that fail nothing, each another kind of work, no more are tried."""


@dataclass(frozen=True, slots=True)
class Tried:
    """A package worked out as a whole job.

    Attributes:
        number: its number among those that the search kept
        text: the job that it is, as its file
        worked: what came out
        case: the job on its car; None where it could not be worked out
        score: by how much it misses what is asked for, as the search counts it [-]
        fineness: how far from the middles of what is asked for [-]
        price: of its parts [money]
        kind: places of the car whose parts it exchanges

    """

    number: int
    text: str
    worked: Worked
    case: Case | None
    score: float
    fineness: float
    price: float
    kind: frozenset[str]

    @property
    def faults(self) -> int:
        """How many checks fail."""
        return len(self.worked.parts) + len(self.worked.wishes)

    @property
    def fits(self) -> bool:
        """Whether no check fails."""
        return self.case is not None and not self.faults


def kind_of(result: Result, number: int) -> frozenset[str]:
    """What kind of work a package is: the places whose parts are exchanged, whatever parts those are.

    Args:
        result: the search
        number: of the package
    """
    return frozenset(result.package(number))


def tried_packages(result: Result, text: str, base: Case, run: Run) -> list[Tried]:
    """Work packages out until three of different kinds fail nothing, or as many were tried as somebody waits for.

    Args:
        result: the search, nothing of it worked out yet
        text: the job before a part is chosen, as its file
        base: the car and the shop's rules
        run: who works, hears how far it is, and says when to stop
    """
    done: dict[int, Tried] = {}
    car = run.workers.put(base)
    kinds = [kind_of(result, k) for k in range(len(result.found.score))]
    while len(done) < _MOST and not run.stop():
        asked = _next(result, kinds, done)[: min(_AT_ONCE, _MOST - len(done))]
        if not asked:
            break
        texts = [job_text(text, result.job(k)) for k in asked]
        tasks = ((work_out, (car, parse_job(one, "the job"))) for one in texts)
        before = len(done)
        for row, (worked, case) in run.results(tasks, len(asked)):
            k = asked[row]
            misses = missed_by(worked, result.wanted.goals)
            done[k] = Tried(k, texts[row], worked, case, *misses, float(result.found.price[k]), kinds[k])
        if len(done) == before or len({one.kind for one in done.values() if one.fits}) >= _ENOUGH:
            break
    return [done[k] for k in sorted(done)]


def missed_by(worked: Worked, goals: tuple[Goal, ...]) -> tuple[float, float]:
    """By how much a whole job misses goals, and how far it is from their middles, as the search counts both [-].

    Args:
        worked: what came out of it; infinite where nothing did
        goals: what is asked for
    """
    metrics = {name: np.array([value]) for name, value in worked.numbers.items()}
    if not metrics:
        return np.inf, np.inf
    return float(score_of(metrics, goals)[0]), float(fineness_of(metrics, goals)[0])


def work_out(car: Case, job: JobDocument) -> tuple[Worked, Case | None]:
    """A job on a car, with everything that is told of it: what is worked out once is not worked out again.

    Args:
        car: the car and the shop's rules
        job: the job
    """
    case = car.with_job(job)
    worked = worked_out(case)
    return worked, case if worked.numbers else None


def _next(result: Result, kinds: Sequence[frozenset[str]], done: Mapping[int, Tried]) -> list[int]:
    """Whom to try next: of every kind of work not yet known to hold the nearest and the cheapest, likeliest first."""
    found = result.found
    failing: Array = np.zeros(len(found.score))
    if done:
        failing = failing + thought_to_fail(found.metrics, {k: one.worked for k, one in done.items()})
    hold = {one.kind for one in done.values() if one.fits}
    left = [k for k in range(len(found.score)) if k not in done and kinds[k] not in hold]
    orders = (
        lambda k: (failing[k] > 0, failing[k] + found.score[k], found.fineness[k], found.price[k]),
        lambda k: (failing[k] > 0, failing[k] + found.score[k], found.price[k], found.fineness[k]),
    )
    chosen: dict[int, None] = {}
    for order in orders:
        best: dict[frozenset[str], int] = {}
        for k in sorted(left, key=order):
            best.setdefault(kinds[k], k)
        chosen |= dict.fromkeys(best.values())
    ranks = [{k: place for place, k in enumerate(sorted(chosen, key=order))} for order in orders]
    return sorted(chosen, key=lambda k: min(rank[k] for rank in ranks))
