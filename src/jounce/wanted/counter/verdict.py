"""Whether a job fits, in the words of a counter: yes, or no, because of what, and mended by what; and why not lower."""

from __future__ import annotations

from dataclasses import dataclass

from jounce.case.case import Case
from jounce.checks import Check, Verdict
from jounce.checks.lower_still import lower_still
from jounce.conventions.units import Kind, show

__all__ = ["Fault", "TellVerdict", "verdict_of", "why_not_lower"]


@dataclass(frozen=True, slots=True)
class Fault:
    """A check that fails: what it asks, what came out, and what mends it."""

    question: str
    because: str
    mended: str
    critical: bool


@dataclass(frozen=True, slots=True)
class TellVerdict:
    """Whether a job fits.

    Attributes:
        faults: what speaks against it, dangers first
        unknown: checks that lack a measurement
        checks: how many were looked at

    """

    faults: tuple[Fault, ...]
    unknown: tuple[Check, ...]
    checks: int

    @property
    def fits(self) -> bool:
        """Whether no check fails."""
        return not self.faults

    @property
    def told(self) -> str:
        """The verdict in a sentence."""
        if self.faults:
            count = len(self.faults)
            return f"Does not fit: {count} of {self.checks} checks {'fails' if count == 1 else 'fail'}."
        if self.unknown:
            lack = "lacks" if len(self.unknown) == 1 else "lack"
            return f"Fits, as far as is known: {len(self.unknown)} of {self.checks} checks {lack} a measurement."
        return f"Fits: all {self.checks} checks pass."


def verdict_of(case: Case, units: str) -> TellVerdict:
    """The verdict on a job.

    Args:
        case: the job on its car
        units: unit set of the numbers told

    Raises:
        Impossible: the plan cannot be
    """
    checks = case.every_check
    bad = sorted((one for one in checks if one.verdict is Verdict.FAIL), key=lambda one: not one.critical)
    faults = tuple(Fault(one.question, one.said(units), one.todo, one.critical) for one in bad)
    return TellVerdict(faults, tuple(one for one in checks if one.verdict is Verdict.UNKNOWN), len(checks))


def why_not_lower(case: Case, units: str) -> tuple[str, ...]:
    """What would stop each axle first if it came down further, in a sentence each.

    Args:
        case: the job on its car
        units: unit set of the numbers told
    """
    told = []
    for axle, where in (("front", "In front"), ("rear", "Behind")):
        limits = lower_still(case.planned.document, case.plan, (case.every_check, case.rules.limits), axle)
        if not limits:
            told.append(f"{where} it is not known: measure the dampers' closed length.")
            continue
        first = limits[0]
        if first.way <= 0:
            told.append(f"{where} not at all: {first.words}.")
        else:
            told.append(
                f"{where} {show(first.way, Kind.LENGTH, units)} more. Then {first.words}".removesuffix("?") + "."
            )
    return tuple(told)
