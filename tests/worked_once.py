"""What follows from one car, or from one car and job, is worked out once for all tests of a process.

Many tests ask of the same demo cars and jobs, through commands, pages, sheets and questions. A case tells the same of the
same documents whoever asks, so what it worked out is handed out again to every other case whose documents read the same to
the last digit. What is handed out is frozen. A test of two ways of working out one thing asks for `worked_anew`.

So is what a search proves: a package worked out as a whole job tells the same to every search of that car and shelf.

A search does its work in this process, as on a machine of one processor; starting others takes longer than the work of a
small search. A test of what processes do asks for `in_processes`, or names their number.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from functools import cached_property, wraps

import pytest

from jounce.case.case import Case
from jounce.job.document import JobDocument
from jounce.numerics.compiled import processors
from jounce.search import proof
from jounce.search.result import Worked

__all__ = ["each_on_its_own", "few_proofs", "several_processes", "worked_once"]

_MOST = 48
"""States kept of each kind."""
_FEW_PROOFS = 6
"""Packages that hold after which no more are worked out in the gate: each takes most of a second."""
_ON = [True]
_ALONE = [True]
Key = tuple[str, ...]


def _car(case: Case) -> Key | None:
    """The car by all that its document says; None where another car as found was handed in."""
    return (repr(case.car),) if case.before is None else None


def _job(case: Case) -> Key | None:
    """Car and job by all that their documents say; None where the car as found is none of those that are shared."""
    shared = Case(case.car).found
    return (repr(case.car), repr(case.change_list)) if case.found is shared else None


def _planned(case: Case) -> Key | None:
    """With what bands are multiplied by; None where a test put a plan of its own in."""
    of_job = _job(case)
    if of_job is None or case.plan is not _KEPT["plan"].get(of_job):
        return None
    return (*of_job, repr(sorted(case.widened.items())))


def _checked(case: Case) -> Key | None:
    """With the limits that checks hold to; None where the car as planned is none of those that are shared."""
    of_plan = _planned(case)
    if of_plan is None or case.planned is not _KEPT["planned"].get(of_plan):
        return None
    return (*of_plan, repr(case.rules.limits))


_SHARED: dict[str, Callable[[Case], Key | None]] = {
    "found": _car,
    "plan": _job,
    "planned": _planned,
    "drive": _checked,
    "checks": _checked,
}
"""Which properties of a case are shared, and by what."""
_KEPT: dict[str, OrderedDict[Key, object]] = {name: OrderedDict() for name in _SHARED}
"""What was worked out, the one that was asked for longest ago first."""


def _once(name: str, key: Callable[[Case], Key | None]) -> cached_property[object]:
    """A property of a case that looks first whether a case of the same documents has it."""
    plain, kept = vars(Case)[name].func, _KEPT[name]

    def of(case: Case) -> object:
        known = key(case) if _ON[0] else None
        if known is None:
            return plain(case)
        if known not in kept:
            kept[known] = plain(case)
            while len(kept) > _MOST:
                kept.popitem(last=False)
        kept.move_to_end(known)
        return kept[known]

    shared = cached_property(of)
    shared.__set_name__(Case, name)
    return shared


def _proved_once() -> Callable[[Case, JobDocument], Worked]:
    """A package of a search as a whole job, worked out by the first search that asks."""
    plain: Callable[[Case, JobDocument], Worked] = proof.worked_out_on
    kept: dict[object, Worked] = {}

    @wraps(plain)
    def worked_out_on(car: Case, job: JobDocument) -> Worked:
        if not _ON[0]:
            return plain(car, job)
        known = (repr(car.car), repr(car.rules), repr(job), proof.worked_out)  # a test may put another one in
        if known not in kept:
            kept[known] = plain(car, job)
        return kept[known]

    return worked_out_on


@contextmanager
def worked_once() -> Iterator[None]:
    """Share for as long as this lasts."""
    with pytest.MonkeyPatch.context() as patched:
        for name, key in _SHARED.items():
            patched.setattr(Case, name, _once(name, key))
        patched.setattr(proof, "worked_out_on", _proved_once())
        patched.setattr("jounce.search.workers.processors", lambda: 1 if _ALONE[0] else processors())
        yield


@contextmanager
def few_proofs() -> Iterator[None]:
    """Let a search work out fewer packages as whole jobs than it does at work, for as long as this lasts."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(proof, "_HOLDING", _FEW_PROOFS)
        yield


@contextmanager
def _without(switch: list[bool]) -> Iterator[None]:
    before, switch[0] = switch[0], False
    try:
        yield
    finally:
        switch[0] = before


def each_on_its_own() -> AbstractContextManager[None]:
    """Share nothing for as long as this lasts."""
    return _without(_ON)


def several_processes() -> AbstractContextManager[None]:
    """Let a search start processes, as it does on this machine, for as long as this lasts."""
    return _without(_ALONE)
