"""What stands over every sheet of a job that fails: which check, its value against its limit, and what to do."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from jounce.checks import Check, Verdict
from jounce.conventions.errors import InputError
from jounce.conventions.units import show_apart

__all__ = [
    "Despite",
    "Judged",
    "critical_failures",
    "despite_of",
    "not_known",
    "refuse_without_reason",
    "stop_lines",
    "stop_title",
]

_LEAST, _MOST = 5, 300
_SIDE = re.compile(r"\b(left|right) ")
NOT_KNOWN = "Not known, for want of a measurement"


@dataclass(frozen=True, slots=True)
class Despite:
    """Why a sheet is printed although a check fails on which lives depend: the reason as typed, by whom, on which day."""

    reason: str
    by: str
    day: datetime.date

    @property
    def sentence(self) -> str:
        """As it is printed."""
        who = self.by or "somebody who gave no name"
        return f"Printed all the same by {who} on {self.day}, for this reason: {self.reason}"


@dataclass(frozen=True, slots=True)
class Judged:
    """The checks of a plan; ``name`` is that of the package or the job, where a sheet tells of several."""

    checks: tuple[Check, ...]
    name: str = ""


def despite_of(reason: str, by: str) -> Despite | None:
    """A reason typed today; None where nothing was typed.

    Args:
        reason: as typed
        by: who typed it, as far as that is known

    Raises:
        InputError: too short to be a reason, or too long for the head of a sheet
    """
    text = " ".join(reason.split())
    if not text:
        return None
    if not _LEAST <= len(text) <= _MOST or not text.isprintable():
        raise InputError(
            "This is no reason that can be printed",
            found=f'"{text[:40]}"',
            allowed=f"a sentence of {_LEAST} to {_MOST} characters",
            todo="Say why the sheet is printed although the check fails.",
            place="despite",
        )
    return Despite(text, " ".join(by.split()), datetime.datetime.now().astimezone().date())


def critical_failures(checks: Iterable[Check]) -> list[Check]:
    """The checks that failed and on which lives depend.

    Args:
        checks: any
    """
    return [check for check in checks if check.verdict is Verdict.FAIL and check.critical]


def refuse_without_reason(judged: Sequence[Judged], despite: Despite | None) -> None:
    """Refuse to print what fails a check on which lives depend, unless somebody says why.

    Args:
        judged: the plans of the sheet
        despite: the reason, if one was typed

    Raises:
        InputError: no reason was given
    """
    failed = [check for one in judged for check in critical_failures(one.checks)]
    if failed and despite is None:
        told = "; ".join(dict.fromkeys(f"{check.question} {check.sentence.rstrip('.')}" for check in failed))
        raise InputError(
            f"A check fails on which lives depend: {told}",
            todo='Change the plan, or give the reason ("despite") why it is printed all the same; it stands at its head.',
            place="despite",
        )


def stop_title(judged: Sequence[Judged]) -> str:
    """The head of the notice; empty where nothing fails.

    Args:
        judged: the plans of the sheet
    """
    count = len(_failing(judged))
    if not count:
        return ""
    word = "1 check fails" if count == 1 else f"{count} checks fail"
    return f"STOP: {word}. Not to be built or driven like this."


def stop_lines(judged: Sequence[Judged], units: str) -> list[str]:
    """A line for each failed check, left and right in one, all plans that fail it in one, those of lives first.

    Args:
        judged: the plans of the sheet
        units: unit set to show
    """
    by_plan = [*_failing(judged).values()]
    by_plan.sort(key=lambda plans: not next(iter(plans.values()))[0].critical)
    return [" ".join(_told(plans, units)) for plans in by_plan]


def _failing(judged: Sequence[Judged]) -> dict[tuple[str, str], dict[str, list[Check]]]:
    """What fails by code and question, left and right in one; of each by the names of the plans."""
    alike: dict[tuple[str, str], dict[str, list[Check]]] = {}
    for one in judged:
        for check in one.checks:
            if check.verdict is Verdict.FAIL:
                plans = alike.setdefault((check.code, _SIDE.sub("", check.question)), {})
                plans.setdefault(one.name, []).append(check)
    return alike


def _told(plans: Mapping[str, Sequence[Check]], units: str) -> Iterator[str]:
    """A check that one plan or several fail: what all have in common once, then each plan's own."""
    told = {name: [*_failed(checks, units)] for name, checks in plans.items()}
    names = [name for name in plans if name]
    if names:
        yield f"{_listed(names)}."
    worst = next(iter(plans.values()))[0]
    if worst.critical:
        yield "DANGER."
    first = next(iter(told.values()))
    common = [text for text in first if all(text in own for own in told.values())]
    if len(common) == len(first):
        yield from first
        return
    yield from (text for text in common if text == first[0])
    for name, own in told.items():
        yield f"{name.rpartition(' ')[2]}: {' '.join(text for text in own if text not in common)}"
    yield from (text for text in common if text != first[0])


def _listed(names: Sequence[str]) -> str:
    """Names of plans as a sentence lists them, their common first word once.

    >>> _listed(["Job A", "Job B", "Job C"])
    'Jobs A, B and C'
    """
    if len(names) == 1:
        return names[0]
    kind = names[0].partition(" ")[0]
    *some, last = (name.removeprefix(f"{kind} ") for name in names)
    return f"{kind}s {', '.join(some)} and {last}"


def not_known(judged: Sequence[Judged]) -> str:
    """What could not be checked, each kind once; empty where all was.

    Args:
        judged: the plans of the sheet
    """
    first: dict[str, str] = {}
    for one in judged:
        for check in one.checks:
            if check.verdict is Verdict.UNKNOWN:
                first.setdefault(check.code, check.question)
    return f"{NOT_KNOWN}: {' '.join(first.values())}" if first else ""


def _failed(checks: Sequence[Check], units: str) -> Iterator[str]:
    """One check, or those of the left and the right side, the worse one in full."""
    check = min(checks, key=lambda one: one.margin or 0.0)
    yield check.question
    yield check.said(units)
    if len(checks) > 1:
        yield "The other side fails too."
    if check.value is not None and check.limit is not None and check.bound:
        value, limit = show_apart(check.value, check.limit, check.kind, units)
        yield f"Found {value}, needed {check.bound} {limit}."
    yield f"What to do: {check.todo or 'plan it otherwise.'}"
