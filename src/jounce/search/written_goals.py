"""Goals as somebody writes them: in the job file, or in one line; the usual ones hold where nothing is written."""

from __future__ import annotations

from collections.abc import Sequence

from jounce.conventions.errors import InputError, at
from jounce.conventions.units import unit_of
from jounce.job.document import JobDocument
from jounce.job.goal_window import read_window
from jounce.search.goals import METRICS, Goal, usual_goals

__all__ = ["goals_of", "read_goal"]

MOST_WEIGHT = 100.0


def goals_of(job: JobDocument, written: Sequence[Goal] = ()) -> tuple[Goal, ...]:
    """The goals of a job: the usual ones, those of its file in their place, those that were written besides in theirs.

    Args:
        job: the job
        written: goals that go before those of the file

    Raises:
        InputError: every goal has the weight 0
    """
    told = {goal.metric: goal for goal in usual_goals()}
    for name, section in job.goals:
        if section is not None:
            told[name] = Goal(name, section.window.low, section.window.high, section.weight, section.reason)
    told |= {goal.metric: goal for goal in written}
    kept = tuple(goal for goal in told.values() if goal.weight > 0)
    if not kept:
        raise InputError("No goal is left", found="weight 0 for all of them", todo="Give one of them a weight.")
    return kept


def read_goal(text: str, units: str = "metric") -> Goal:
    """One goal in one line: name, window, and if wanted its weight and the reason.

    Args:
        text: ``roll_gradient = 3.5 to 4.5 deg/g; weight 2; less roll on the club days``
        units: unit set of numbers without a unit

    Raises:
        InputError: another name, no window, a weight that is none

    >>> read_goal("front_frequency = 1.4 to 1.6 Hz; weight 2; softer for the long road")
    Goal(metric='front_frequency', low=1.4, high=1.6, weight=2.0, reason='softer for the long road')
    """
    goal, *more = (part.strip() for part in text.split(";"))
    name, equals, window = (part.strip() for part in goal.partition("="))
    if name not in METRICS or not equals:
        raise InputError(
            "This is no goal",
            found=f'"{text}"',
            allowed=f"a name of {', '.join(METRICS)}, then its window",
            todo='Write it like "roll_gradient = 3.5 to 4.5 deg/g; weight 2; less roll".',
        )
    kind = METRICS[name].kind
    with at(f'"{text}"'):
        ends = read_window(window, kind, unit_of(kind, units).symbol)
        weight, reasons = 1.0, []
        for part in filter(None, more):
            word, _, number = part.partition(" ")
            if word == "weight":
                weight = _weight(number)
            else:
                reasons.append(part)
    return Goal(name, ends.low, ends.high, weight, "; ".join(reasons))


def _weight(written: str) -> float:
    try:
        weight = float(written)
    except ValueError:
        weight = -1.0
    if not 0 <= weight <= MOST_WEIGHT:
        raise InputError(
            "This is no weight", found=f'"{written}"', allowed=f"0 to {MOST_WEIGHT:g}", todo='Write "weight 2".'
        )
    return weight
