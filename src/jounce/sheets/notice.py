"""What stands over every sheet of a job that fails: which check, its value against its limit, and what to do."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator, Sequence
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
    """A line for each failed check, left and right in one, those on which lives depend first.

    Args:
        judged: the plans of the sheet
        units: unit set to show
    """
    lines = sorted(_failing(judged).items(), key=lambda item: not item[1][0].critical)
    return [" ".join(_failed(name, checks, units)) for (name, _, _), checks in lines]


def _failing(judged: Sequence[Judged]) -> dict[tuple[str, str, str], list[Check]]:
    """What fails by package, code and question: left and right are one."""
    alike: dict[tuple[str, str, str], list[Check]] = {}
    for one in judged:
        for check in one.checks:
            if check.verdict is Verdict.FAIL:
                alike.setdefault((one.name, check.code, _SIDE.sub("", check.question)), []).append(check)
    return alike


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


def _failed(name: str, checks: Sequence[Check], units: str) -> Iterator[str]:
    """One check, or those of the left and the right side, the worse one in full."""
    check = min(checks, key=lambda one: one.margin or 0.0)
    if name:
        yield f"{name}."
    if check.critical:
        yield "DANGER."
    yield f"{check.question} {check.said(units)}"
    if len(checks) > 1:
        yield "The other side fails too."
    if check.value is not None and check.limit is not None and check.bound:
        value, limit = show_apart(check.value, check.limit, check.kind, units)
        yield f"Found {value}, needed {check.bound} {limit}."
    yield f"What to do: {check.todo or 'plan it otherwise.'}"
