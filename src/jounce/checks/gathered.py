"""Many checks on little paper: what fails in full, what is unknown once per kind, what passes by its least margin."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from jounce.checks.check import Check, Verdict
from jounce.conventions.units import show

Row = tuple[str, str, str]


def gathered(checks: Sequence[Check], units: str) -> list[Row]:
    """Verdict, code and text of each row, what fails first.

    Args:
        checks: all checks
        units: unit set of their numbers
    """
    of = {one: [check for check in checks if check.verdict is one] for one in Verdict}
    rows = [(check.verdict.value, check.code, _told(check, units)) for check in of[Verdict.FAIL]]
    for same in _by_code(of[Verdict.UNKNOWN]):
        more = "" if len(same) == 1 else f" And {len(same) - 1} more of this kind."
        rows.append((Verdict.UNKNOWN.value, same[0].code, _told(same[0], units) + more))
    if of[Verdict.PASS]:
        rows.append((Verdict.PASS.value, "", _passed(_by_code(of[Verdict.PASS]), units)))
    return rows


def _told(check: Check, units: str) -> str:
    return f"{check.question} {check.said(units)}"


def _by_code(checks: Iterable[Check]) -> list[list[Check]]:
    found: dict[str, list[Check]] = {}
    for check in checks:
        found.setdefault(check.code, []).append(check)
    return list(found.values())


def _passed(groups: Iterable[list[Check]], units: str) -> str:
    """Codes with the least margin of each."""
    texts = []
    for same in groups:
        least = min((check for check in same if check.margin is not None), key=_margin, default=None)
        margin = "" if least is None else f" ({show(_margin(least), least.kind, units, sign=True)})"
        texts.append(f"{same[0].code}{margin}")
    return f"with the least margin: {', '.join(texts)}."


def _margin(check: Check) -> float:
    return check.margin or 0.0
