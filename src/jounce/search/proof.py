"""What is told is proved: a package that is named was worked out as a whole job, and its numbers are those of that job.

The search judges at the wanted heights. A finished car stands where whole teeth and quarter turns put it, some tenths to
two millimetres off, so a package at the edge of a limit may fail a check by a hair. Such a one is left out, and the next
takes its place, until all that are told hold. What was not worked out is not named.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from jounce.case.case import Case
from jounce.checks import Verdict
from jounce.conventions.errors import JounceError
from jounce.job.document import JobDocument
from jounce.numerics.arrays import Array, IntArray
from jounce.search.pairs import FoundPairs, fineness_of, score_of
from jounce.search.result import Proof, Result, Worked
from jounce.search.tasks import Run
from jounce.search.whole_car_check import numbers_of

_HOLDING = 16
"""After so many packages that hold no more are worked out: each takes seconds, and only those worked out are told."""
_AT_ONCE = 4
"""So many are worked out before it is looked again which come next: what they fail says where others would."""
_RIDGE = 0.1
"""Of the regression, beside numbers whose spread over all pairs is one [-]."""


def proved(result: Result, run: Run) -> Result:
    """The result with only such packages as were worked out and hold, each with the numbers of its job.

    Args:
        result: what was found
        run: who works them out, is told of progress, and is asked for a stop
    """
    return _proved(result, replace(run, tell=_rising(run.tell)))


def _rising(tell: Callable[[float], None]) -> Callable[[float], None]:
    """Progress that never goes back when more has to be worked out than was thought."""
    most = 0.0

    def told(share: float) -> None:
        nonlocal most
        most = max(most, share)
        tell(most)

    return told


def _proved(result: Result, run: Run) -> Result:
    worked: dict[tuple[int, int, int], Worked] = {}
    left_out = 0
    case = Case(result.space.document, rules=result.wanted.rules)
    car = run.workers.put(case)
    if car is case:
        _ = case.found.standing  # before threads share it
    while (most := min(result.wanted.proofs - len(worked), _HOLDING + left_out - len(worked))) > 0:
        numbers = {result.pair(k): k for k in result.told()}
        asked = [pair for pair in numbers if pair not in worked][: min(most, _AT_ONCE)]
        if not asked:
            break
        jobs = (result.job(numbers[pair]) for pair in asked)
        tasks = ((worked_out_on, (car, job)) for job in jobs)
        done = {asked[number]: one for number, one in run.results(tasks, len(asked))}
        worked |= {pair: done[pair] for pair in asked if pair in done}  # in the order asked, however they came
        left_out += sum(bool(one.parts) for one in done.values())
        result = replace(result, found=_by_their_jobs(result, worked))
        if run.stop():
            break
    return replace(result, found=_only_worked(result, worked), proof=Proof(worked, left_out))


def _by_their_jobs(result: Result, worked: Mapping[tuple[int, int, int], Worked]) -> FoundPairs:
    """What was found, without what fails a check of its parts; what was worked out has the numbers of its job."""
    found = result.found
    pairs = [result.pair(k) for k in range(len(found.score))]
    metrics = {name: values.copy() for name, values in found.metrics.items()}
    for k, pair in enumerate(pairs):
        for name, value in worked[pair].numbers.items() if pair in worked else ():
            metrics[name][k] = value
    goals = result.wanted.goals
    score, fineness = score_of(metrics, goals), fineness_of(metrics, goals)
    kept = np.array([k for k, pair in enumerate(pairs) if not (pair in worked and worked[pair].parts)], dtype=np.intp)
    order = kept[np.lexsort((found.price[kept], fineness[kept], score[kept]))]
    failing = thought_to_fail(found.metrics, {k: worked[pair] for k, pair in enumerate(pairs) if pair in worked})
    return replace(found, metrics=metrics, score=score, fineness=fineness, failing=failing).take(order)


def thought_to_fail(metrics: Mapping[str, Array], worked: Mapping[int, Worked]) -> IntArray:
    """How many checks of what is wanted each pair fails; of those not worked out yet, how many it is thought to.

    Each check's margin is taken as a line through what was worked out, by the numbers that the search has of every pair:
    ridge regression, so that few points give a careful slope. It settles what is worked out next, and is never told.
    Source: Hastie, Tibshirani, Friedman, The Elements of Statistical Learning, 2nd ed., 3.4.1.

    Args:
        metrics: numbers of all pairs as they were judged, each shape (pairs,) [SI]
        worked: what came out of some, by number of the pair

    Returns:
        Shape (pairs,)
    """
    table = np.nan_to_num(np.stack(list(metrics.values()), axis=-1)) if metrics else np.zeros((0, 0))
    spread = table.std(axis=0)
    table = (table - table.mean(axis=0)) / np.where(spread > 0, spread, 1.0)
    failing: IntArray = np.zeros(len(table), dtype=np.intp)
    for check in dict.fromkeys(name for one in worked.values() for name in one.margins):
        rows = [k for k, one in worked.items() if check in one.margins]
        margin = np.array([worked[k].margins[check][0] for k in rows])
        off = table - table[rows].mean(axis=0)
        near = off[rows]
        slope = np.linalg.solve(near.T @ near + _RIDGE * np.eye(near.shape[1]), near.T @ (margin - margin.mean()))
        failing += margin.mean() + off @ slope < 0
    for k, one in worked.items():
        failing[k] = len(one.wishes)
    return failing


def _only_worked(result: Result, worked: Mapping[tuple[int, int, int], Worked]) -> FoundPairs:
    """What was worked out; all where a stop came before anything was."""
    which = [k for k in range(len(result.found.score)) if result.pair(k) in worked]
    return result.found.take(np.array(which, dtype=np.intp)) if worked else result.found


def worked_out_on(car: Case, job: JobDocument) -> Worked:
    """A package as a whole job.

    Args:
        car: the car and the shop's rules; what is worked out of it as found is kept for the next
        job: the package
    """
    return worked_out(car.with_job(job))


def worked_out(case: Case) -> Worked:
    """A package as a whole job.

    Args:
        case: the car with the package as its job
    """
    try:
        checks, numbers = case.every_check, numbers_of(case.plan, case.drive)
    except JounceError as problem:
        return Worked((str(problem),))
    bad = [(check.of_wishes, f"{check.code}: {check.sentence}") for check in checks if check.verdict is Verdict.FAIL]
    return Worked(
        tuple(text for own, text in bad if not own),
        tuple(text for own, text in bad if own),
        tuple(dict.fromkeys(check.code for check in checks if check.verdict is Verdict.UNKNOWN)),
        {f"{c.code} ({c.question})": (c.margin, c.kind) for c in checks if c.of_wishes and c.margin is not None},
        numbers,
    )
