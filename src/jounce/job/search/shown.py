"""What a search found, as tables: three packages side by side, and what more money buys."""

from __future__ import annotations

from jounce.conventions.units import Kind
from jounce.job.answers.answer import Answer, AnswerTable
from jounce.job.search.goals import METRICS
from jounce.job.search.run import Result
from jounce.job.search.slots import SLOTS

_MOST_STEPS = 6


def packages_table(result: Result) -> AnswerTable:
    """Good, better and best side by side.

    Args:
        result: the search
    """
    three = result.three()
    numbers = list(three.values())
    packages = [result.package(k) for k in numbers]
    places = [slot.name for slot in SLOTS if any(slot.name in package for package in packages)]
    rows = [
        Answer(
            place, Kind.RATIO, tuple(package[place].code if place in package else "as it is" for package in packages)
        )
        for place in places
    ]
    goals = {goal.metric: goal for goal in result.wanted.goals}
    for name, metric in METRICS.items():
        values = tuple(float(result.found.metrics[name][k]) for k in numbers)
        rows.append(Answer(metric.label, metric.kind, values, goals[name].reason if name in goals else ""))
    rows.append(Answer("parts cost", Kind.RATIO, tuple(f"{result.found.price[k]:.2f}" for k in numbers)))
    rows.append(Answer("hours of work", Kind.RATIO, tuple(f"{result.hours(k):.1f}" for k in numbers)))
    remarks = [_told(result, name, number) for name, number in three.items()]
    remarks.append("Work each out as a job of its own before it is sold: teeth, turns and every check come with it.")
    return AnswerTable("Three packages", tuple(three), tuple(rows), tuple(remarks))


def price_front_table(result: Result) -> AnswerTable:
    """What more money buys: packages that no cheaper one equals.

    Args:
        result: the search
    """
    front = result.price_front()
    shown = front if len(front) <= _MOST_STEPS else [*front[:: max(1, len(front) // (_MOST_STEPS - 1))], front[-1]]
    shown = list(dict.fromkeys(shown))
    columns = tuple(f"{result.found.price[k]:.0f}" for k in shown)
    rows = [Answer("goals missed by", Kind.RATIO, tuple(float(result.found.score[k]) for k in shown))]
    rows += [
        Answer(
            slot.name,
            Kind.RATIO,
            tuple(result.package(k)[slot.name].code if slot.name in result.package(k) else "-" for k in shown),
        )
        for slot in SLOTS
        if any(slot.name in result.package(k) for k in shown)
    ]
    return AnswerTable("What more money buys", columns, tuple(rows))


def _told(result: Result, name: str, number: int) -> str:
    misses = [
        METRICS[goal.metric].label
        for goal in result.wanted.goals
        if float(goal.miss(result.found.metrics[goal.metric][number : number + 1])[0]) > 0
    ]
    met = "meets every goal" if not misses else f"misses: {', '.join(misses)}"
    why = {
        "good": "the cheapest that does so well",
        "better": "nearest to the middle of what was asked for, at half the way in price",
        "best": "nearest to the middle of what was asked for",
    }[name]
    return f"{name}: {met}; {why}."
