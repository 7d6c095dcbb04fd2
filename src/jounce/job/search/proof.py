"""What is told is proved: a package that is named was worked out as a whole job, and no check of its parts failed.

The search judges at the wanted heights. A finished car stands where whole teeth and quarter turns put it, some tenths to
two millimetres off, so a package at the edge of a limit may fail a check by a hair. Such a one is left out, and the next
takes its place, until all that are told hold.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from jounce.car.document import CarDocument
from jounce.conventions.errors import JounceError
from jounce.job.apply import planned_document, wishes_of
from jounce.job.checks import Verdict, run_checks
from jounce.job.document import JobDocument
from jounce.job.plan import make_plan
from jounce.job.search.tasks import Run, own_or_given

if TYPE_CHECKING:
    from jounce.job.search.run import Result

OF_THE_WISHES = frozenset(
    {"ALN-01", "AXS-01", "GND-01", "LMP-01", "LSV-01", "PAN-01", "PAN-02", "PAN-03", "PLT-01", "PLT-02", "WHL-01"}
)
"""Checks that heights, alignment, rods and plates decide: no package of springs, dampers and bars could pass them."""


@dataclass(frozen=True, slots=True)
class Failed:
    """Checks that a package fails when it is worked out: those of its parts, and those of the wishes.

    ``parts`` and ``wishes`` are sentences, each with the code of its check.
    """

    parts: tuple[str, ...] = ()
    wishes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Proof:
    """What was worked out.

    Attributes:
        failed: what each package that was worked out fails, by its front and rear variant
        left_out: packages that would have been told but fail a check of their parts
        unproved: packages that are told without having been worked out: a stop, or too many that failed

    """

    failed: Mapping[tuple[int, int], Failed] = field(default_factory=dict)
    left_out: int = 0
    unproved: int = 0

    def holds(self, pair: tuple[int, int]) -> bool:
        """Whether a package was worked out and no check of its parts failed.

        Args:
            pair: its front and rear variant
        """
        return pair in self.failed and not self.failed[pair].parts


def proved(result: Result, tell: Callable[[float], None], stop: Callable[[], bool]) -> Result:
    """The result with only such packages as hold among those that are told.

    They are worked out in threads of this process: there are few, and a car document does not travel.

    Args:
        result: what was found
        tell: told the share done
        stop: asked whether to end
    """
    with own_or_given(None) as threads:
        return _proved(result, Run(threads, _rising(tell), stop))


def _rising(tell: Callable[[float], None]) -> Callable[[float], None]:
    """Progress that never goes back when more has to be worked out than was thought."""
    most = 0.0

    def told(share: float) -> None:
        nonlocal most
        most = max(most, share)
        tell(most)

    return told


def _proved(result: Result, run: Run) -> Result:
    failed: dict[tuple[int, int], Failed] = {}
    left_out = 0
    while len(failed) < result.wanted.proofs:
        asked = [result.pair(k) for k in result.told()]
        asked = [pair for pair in asked if pair not in failed][: result.wanted.proofs - len(failed)]
        if not asked:
            break
        numbers = {result.pair(k): k for k in result.told()}
        tasks = ((worked_out, (result.space.document, result.space.job(result.package(numbers[p])))) for p in asked)
        failed |= dict(zip(asked, run.results(tasks, len(asked)), strict=False))
        bad = [k for k in range(len(result.found.score)) if _fails(failed, result.pair(k))]
        left_out += len(bad)
        result = replace(result, found=result.found.take(np.setdiff1d(np.arange(len(result.found.score)), bad)))
        if run.stop():
            break
    unproved = sum(result.pair(k) not in failed for k in result.told())
    return replace(result, proof=Proof(failed, left_out, unproved))


def worked_out(document: CarDocument, job: JobDocument) -> Failed:
    """What a job fails when it is worked out.

    Args:
        document: the car as measured
        job: the package as a job
    """
    try:
        planned = planned_document(document, job)
        plan = make_plan(document, planned, wishes_of(document, job))
    except JounceError as problem:
        return Failed((str(problem),))
    bad = [check for check in run_checks(job, planned, plan) if check.verdict is Verdict.FAIL]
    told = [(check.code in OF_THE_WISHES, f"{check.code}: {check.sentence}") for check in bad]
    return Failed(tuple(text for own, text in told if not own), tuple(text for own, text in told if own))


def _fails(failed: Mapping[tuple[int, int], Failed], pair: tuple[int, int]) -> bool:
    return pair in failed and bool(failed[pair].parts)
