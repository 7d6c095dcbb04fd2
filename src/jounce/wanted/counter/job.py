"""The job that a wish begins, as its file: heights and goals; what it is called; and what an answer makes of it."""

from __future__ import annotations

from collections.abc import Sequence

from jounce.car.file.rewriting import rewritten
from jounce.conventions.units import MM, unit_of
from jounce.search.goals import METRICS, Goal
from jounce.wanted.counter.wish import CORNERS, FEELS, USES, CounterWish

__all__ = ["job_name", "wish_text", "wish_words"]

_NEW = '[job]\ncar = "in the book"\n'


def wish_words(wish: CounterWish) -> str:
    """The wish in one line, without the money.

    Args:
        wish: what is asked for
    """
    low = f"{wish.lower / MM:.0f} mm lower" if wish.lower > 0 else "as high as it is"
    feel = "" if wish.feel == "same" else f", {FEELS[wish.feel]}"
    laden = ", laden" if wish.laden else ""
    return f"{low}{feel}, {CORNERS[wish.corner]}, {USES[wish.use]}{laden}"


def job_name(wish: CounterWish) -> str:
    """What the job is called.

    Args:
        wish: what is asked for
    """
    words = wish_words(wish)
    return f"{words[0].upper()}{words[1:]}"


def wish_text(wish: CounterWish, goals: Sequence[Goal]) -> str:
    """The file of the job before a part is chosen.

    Args:
        wish: what is asked for
        goals: what it means on the car; of the other numbers none is a goal
    """
    values: dict[str, object] = {"job.name": job_name(wish)}
    for axle in ("front", "rear"):
        values[f"wanted.{axle}.lower"] = f"{wish.lower / MM:g} mm"
    told = {goal.metric: goal for goal in goals}
    for name, metric in METRICS.items():
        unit = unit_of(metric.kind)
        goal = told.get(name)
        if goal is None:
            values |= {f"goals.{name}.window": _UNASKED[name], f"goals.{name}.weight": 0}
            continue
        symbol = "" if unit.symbol == "-" else f" {unit.symbol}"
        least, most = (f"{value / unit.factor:.4g}" for value in (goal.low, goal.high))
        values[f"goals.{name}.window"] = f"{least} to {most}{symbol}"
        values[f"goals.{name}.weight"] = goal.weight
        values[f"goals.{name}.reason"] = goal.reason
    return rewritten(_NEW, values)


_UNASKED = {
    "front_frequency": "0.5 to 5 Hz",
    "rear_frequency": "0.5 to 5 Hz",
    "frequency_ratio": "0.5 to 2",
    "roll_gradient": "0 to 20 deg/g",
    "front_share": "5 to 95 %",
    "rear_lift": "0 to 3 g",
    "front_bump": "0 to 300 mm",
    "rear_bump": "0 to 300 mm",
    "front_free": "0 to 300 mm",
    "rear_free": "0 to 300 mm",
}
"""Windows of numbers that a wish says nothing of: their weight is 0, so that the usual goals do not hold either."""
