"""One check: a question, its verdict, value, limit and margin, why there is a limit, and what to do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import Literal

from jounce.checks.limits import CRITICAL, OF_PARTS, OF_WISHES
from jounce.conventions.units import Kind
from jounce.job.sentence import Sentence, say

_OF_THE_USER = "RUL-"


class Verdict(Enum):
    """How a check ends."""

    PASS = "pass"  # noqa: S105  (a verdict, no password)
    FAIL = "FAIL"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Check:
    """One question and its answer; ``value`` and ``limit`` are SI, None when unknown; `said` tells it in words.

    ``bound`` says on which side of the limit the value has to be, empty where there is no limit of that kind; ``source``
    tells where the limit comes from, ``reason`` why there is one, ``todo`` what helps where the check fails. ``asks`` is
    the place in the car file of what is missing for an answer; empty where nothing is, or more than one number.
    ``lowering`` names what uses the margin up as it comes down, an axle or the whole car; empty where nothing does, or
    where the ends of travel and the springs tell it already.
    """

    code: str
    question: str
    verdict: Verdict
    told: Sentence
    kind: Kind
    value: float | None = None
    limit: float | None = None
    source: str = ""
    bound: Literal["at least", "at most", ""] = ""
    reason: str = ""
    todo: str = ""
    asks: str = ""
    lowering: str = ""

    def __post_init__(self) -> None:
        """A check of which nobody said what decides it would be left out of the search's judging, or end every package."""
        if self.code not in OF_WISHES | OF_PARTS and not self.code.startswith(_OF_THE_USER):
            raise LookupError(f"{self.code} is neither among OF_WISHES nor among OF_PARTS")

    @property
    def of_wishes(self) -> bool:
        """Whether what is wanted of the car decides it, so that a package that fails it is told with it, not left out."""
        return self.code not in OF_PARTS

    @property
    def critical(self) -> bool:
        """Whether a car that fails it is dangerous, whatever else it passes."""
        return self.code in CRITICAL

    @property
    def sentence(self) -> str:
        """The answer in words, in metric units."""
        return self.said("metric")

    def said(self, units: str) -> str:
        """The answer in words; where it fails, value and limit never read alike.

        Args:
            units: unit set to tell its numbers in
        """
        if self.verdict is not Verdict.FAIL or self.value is None or self.limit is None:
            return self.told.said(units)
        return self.told.apart(self.value, self.limit, units).said(units)

    @property
    def margin(self) -> float | None:
        """How far inside the limit the value is, negative outside it; None without such a limit [SI]."""
        if self.value is None or self.limit is None or not self.bound:
            return None
        return self.value - self.limit if self.bound == "at least" else self.limit - self.value


def check_values(check: Check) -> dict[str, float | str | bool | None]:
    """A check as plain data, SI, its sentence in metric units.

    Args:
        check: the check
    """
    return {
        "code": check.code,
        "question": check.question,
        "verdict": check.verdict.value,
        "critical": check.critical,
        "sentence": check.sentence,
        "value": check.value,
        "limit": check.limit,
        "bound": check.bound,
        "margin": check.margin,
        "source": check.source,
        "reason": check.reason,
        "todo": check.todo,
    }


def verdict(good: bool) -> Verdict:  # noqa: FBT001
    """Pass or fail."""
    return Verdict.PASS if good else Verdict.FAIL


def unknown(
    code: str, question: str, kind: Kind, what: Sentence | str, value: float | None = None, asks: str = ""
) -> Check:
    """A check that cannot be answered.

    Args:
        code: of the check
        question: that is asked
        kind: of its value
        what: what has to be measured or told, as the end of a sentence
        value: what is known of it [SI]
        asks: place in the car file of the number that is missing
    """
    return Check(code, question, Verdict.UNKNOWN, say("unknown: {}.", what), kind, value, asks=asks)


def worst(checks: Iterable[Check]) -> Verdict:
    """FAIL if one fails, else unknown if one is unknown, else pass."""
    found = {check.verdict for check in checks}
    return next((one for one in (Verdict.FAIL, Verdict.UNKNOWN) if one in found), Verdict.PASS)
