"""The sentence that a person would say about a page of results."""

from __future__ import annotations

from collections.abc import Sequence

from jounce.behaviour.road.feel import Feel
from jounce.case.case import Case
from jounce.checks import Check, Verdict
from jounce.conventions.units import Kind, show

__all__ = ["of_checks", "of_corner", "of_heights", "of_ride", "of_roll_centre"]


def of_heights(case: Case, units: str) -> str:
    """How much lower it stands."""
    told = []
    for axle, where in (("front", "in front"), ("rear", "behind")):
        rows = [case.row(f"{axle}.{side}.height") for side in ("left", "right")]
        change = sum((row.found or 0.0) - (row.planned or 0.0) for row in rows) / 2
        told.append(f"{show(abs(change), Kind.LENGTH, units)} {'lower' if change >= 0 else 'higher'} {where}")
    cross = case.row("cross_weight").planned
    weight = "" if cross is None else f", with {show(cross, Kind.SHARE, units)} on front right and rear left"
    return f"It will stand {told[0]} and {told[1]}{weight}."


def of_ride(case: Case, units: str) -> str:
    """How much firmer it rides, mean of left and right."""
    told = []
    for axle, where in (("front", "in front"), ("rear", "behind")):
        rows = [case.row(f"{axle}.{side}.ride_frequency") for side in ("left", "right")]
        found = [row.found for row in rows if row.found is not None]
        planned = [row.planned for row in rows if row.planned is not None]
        if len(found) < len(rows) or len(planned) < len(rows):
            continue
        now, before = (show(sum(both) / len(rows), Kind.FREQUENCY, units) for both in (planned, found))
        told.append(f"{now} {where} instead of {before}")
    return f"It rides at {' and '.join(told)}." if told else "How it rides is not known."


def of_corner(feel: dict[str, Feel], units: str) -> str:
    """How much less it leans."""
    found, planned = (_leaning(feel[title]) for title in ("found", "planned"))
    if found is None or planned is None:
        return "How much it leans is not told: it does not rest at 4 m/s²."
    kind, word = Kind.ANGLE_PER_ACCELERATION, "less" if planned < found else "more"
    share = abs(1 - planned / found)
    return f"It leans {show(planned, kind, units)} instead of {show(found, kind, units)}: {share:.0%} {word}."


def _leaning(feel: Feel) -> float | None:
    """Mean roll gradient of both turns [rad/(m/s²)]; None where the car does not rest so far."""
    left, right = feel.left.roll_gradient, feel.right.roll_gradient
    return None if left is None or right is None else (left + right) / 2


def of_roll_centre(case: Case, units: str) -> str:
    """Where the front roll centre goes, and that it falls further than the car."""
    row = case.row("front.roll_centre_height")
    if row.found is None or row.planned is None:
        return ""
    down = row.found - row.planned
    word = "falls" if down >= 0 else "rises"
    where = f"to {show(row.planned, row.kind, units)} above the road"
    if row.planned < 0:
        where = f"to {show(-row.planned, row.kind, units)} under the road"
    return f"The front roll centre {word} {show(abs(down), row.kind, units)}, {where}."


def of_checks(checks: Sequence[Check]) -> str:
    """Whether it may be built."""
    count = {verdict: sum(c.verdict is verdict for c in checks) for verdict in Verdict}
    fails, unknown = count[Verdict.FAIL], count[Verdict.UNKNOWN]
    if fails:
        return f"Not to be built like this: {fails} of {len(checks)} checks {'fails' if fails == 1 else 'fail'}."
    if unknown:
        return f"Nothing speaks against it yet, but {unknown} of {len(checks)} checks lack a measurement."
    return f"It fits and lasts, as far as {len(checks)} checks can tell."
