"""What a search found, as tables: three packages side by side, their goals, and what more money buys."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from jounce.conventions.units import Kind, show, unit_of
from jounce.job.answer_table import Answer, AnswerTable
from jounce.search.goals import METRICS, Goal
from jounce.search.result import AxleSearch, Result
from jounce.search.slots import SLOTS


def packages_table(result: Result, units: str = "metric") -> AnswerTable:
    """Good, better and best side by side.

    Args:
        result: the search
        units: unit set of the numbers told
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
    for name, metric in METRICS.items():
        values = tuple(result.numbers(k)[name] for k in numbers)
        rows.append(Answer(metric.label, metric.kind, values))
    rows.append(Answer("parts cost", Kind.RATIO, tuple(f"{result.found.price[k]:.2f}" for k in numbers)))
    rows.append(Answer("hours of work", Kind.RATIO, tuple(f"{result.hours(k):.1f}" for k in numbers)))
    remarks = [_told(result, name, number) for name, number in three.items()]
    remarks += [f"{place}: {told}" for place, told in result.space.picked.told.items()]
    remarks += _proof_remarks(result, units)
    return AnswerTable("Three packages", tuple(three), tuple(rows), tuple(remarks))


def goals_table(result: Result, units: str = "metric") -> AnswerTable:
    """Each goal with its window and weight, and by how much good, better and best miss it.

    Args:
        result: the search
        units: unit set of the numbers told
    """
    three = result.three()
    rows = [
        Answer(
            METRICS[goal.metric].label,
            Kind.RATIO,
            (
                window_words(goal, units),
                f"{goal.weight:g}",
                *(met_words(goal, result.numbers(k)[goal.metric], units) for k in three.values()),
            ),
            goal.reason,
        )
        for goal in result.wanted.goals
    ]
    return AnswerTable("Goals", ("wanted", "weight", *three), tuple(rows))


def window_words(goal: Goal, units: str = "metric") -> str:
    """A goal's window: ``3.50 to 4.50 deg/g``.

    Args:
        goal: the goal
        units: unit set
    """
    kind = METRICS[goal.metric].kind
    symbol = unit_of(kind, units).symbol
    low = show(goal.low, kind, units).removesuffix(f" {symbol}")
    return f"{low} to {show(goal.high, kind, units)}"


def met_words(goal: Goal, value: float | None, units: str = "metric") -> str:
    """Whether a value meets a goal, else by how much it misses: ``0.30 deg/g more``.

    Args:
        goal: the goal
        value: the package's number, None where it is not known [SI]
        units: unit set
    """
    if value is None:
        return "not known"
    outside = goal.outside(value)
    if outside == 0:
        return "met"
    return f"{_at_least_a_digit(abs(outside), METRICS[goal.metric].kind, units)} {'more' if outside > 0 else 'less'}"


def _at_least_a_digit(amount: float, kind: Kind, units: str) -> str:
    """A small amount is not told as none."""
    unit = unit_of(kind, units)
    least = 10.0**-unit.decimals
    return (
        show(amount, kind, units)
        if amount / unit.factor >= least / 2
        else f"under {show(least * unit.factor, kind, units)}"
    )


def price_front_table(result: Result) -> AnswerTable:
    """What more money buys: packages that no cheaper one equals.

    Args:
        result: the search
    """
    shown = result.price_steps()
    columns = tuple(f"{result.found.price[k]:.0f}" for k in shown)
    rows = [Answer("goals missed by", Kind.RATIO, tuple(float(result.found.score[k]) for k in shown))]
    rows.append(Answer("checks that fail", Kind.RATIO, tuple(str(len(fails_words(result, k))) for k in shown)))
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


def nothing_words(result: Result) -> list[str]:
    """Why no package is told, in sentences; none if some are.

    Args:
        result: the search
    """
    if len(result.found.score):
        return []
    if not result.proof.left_out:
        return [_not_judged(result) or "Nothing within the budget."]
    return [
        f"All {result.proof.left_out} packages that would have been named fail a check when they are worked out:",
        *failed_words([one.parts for one in result.proof.worked.values()]),
        *(f"- {place}: {told}" for place, told in result.space.picked.told.items()),
    ]


def failed_words(packages: Sequence[Sequence[str]]) -> list[str]:
    """What packages fail, each check once with how many of them fail it, the one that most fail first.

    Args:
        packages: of each the checks that it fails, as sentences with the code of the check before
    """
    first: dict[str, str] = {}
    count: dict[str, int] = {}
    for parts in packages:
        for check, text in {text.partition(": ")[0]: text for text in reversed(parts)}.items():
            first.setdefault(check, text)
            count[check] = count.get(check, 0) + 1
    told = [f"- {first[check]} So {number} of {len(packages)}." for check, number in _by_count(count)]
    if any(number == len(packages) for number in count.values()):
        told.append(
            "What all of them fail most likely lies in what the job keeps or wants, not in what was looked for."
        )
    return told


def _by_count(count: Mapping[str, int]) -> list[tuple[str, int]]:
    return sorted(count.items(), key=lambda one: -one[1])


def _not_judged(result: Result) -> str:
    """Which goals no package can be held to since their number is known of none; empty where all are."""
    asked = {goal.metric for goal in result.wanted.goals if goal.weight}
    unknown = [
        name for name in METRICS if name in asked and all(_unknown(branch.axles, name) for branch in result.branches)
    ]
    if not unknown:
        return ""
    told = ", ".join(METRICS[name].label for name in unknown)
    return (
        f"No package can be judged: not known of any is {told}. Measure dampers and bump rubbers, or set other goals."
    )


def _unknown(axles: tuple[AxleSearch, AxleSearch], name: str) -> bool:
    """Whether a number that an axle's stops decide is known of none of its choices."""
    end, _, what = name.partition("_")
    if end not in {"front", "rear"} or what not in {"bump", "free"}:
        return False
    values = getattr(axles[0 if end == "front" else 1].limits, what)
    return bool(np.isnan(values).all())


def fails_words(result: Result, number: int) -> list[str]:
    """The checks that a kept package fails by what is wanted, in sentences.

    Args:
        result: the search
        number: of the package among those kept
    """
    done = result.worked(number)
    return [] if done is None else [f"It fails {text}" for text in done.wishes]


def unknown_words(result: Result, number: int) -> str:
    """Which checks of a kept package cannot be answered; empty for none.

    Args:
        result: the search
        number: of the package among those kept
    """
    done = result.worked(number)
    if done is None or not done.unknown:
        return ""
    return f"Not known: {', '.join(done.unknown)}; its checks say what to measure."


def not_held_words(result: Result, units: str = "metric") -> list[str]:
    """Which check none of the packages that were worked out holds, and by how much the nearest one misses it.

    Args:
        result: the search
        units: unit set of the numbers told

    Returns:
        Sentences; none where one package holds every check, or none was worked out
    """
    whole = [one for one in result.proof.worked.values() if not one.parts]
    if not whole or any(not one.wishes for one in whole):
        return []
    words = []
    for check in dict.fromkeys(name for one in whole for name in one.margins):
        nearest, kind = max((one.margins[check] for one in whole if check in one.margins), key=lambda one: one[0])
        if nearest < 0 and all(check in one.margins for one in whole):
            missed = _at_least_a_digit(-nearest, kind, units)
            words.append(f"None of the {len(whole)} worked out holds {check}: the nearest one misses by {missed}.")
    return words or [f"None of the {len(whole)} worked out holds every check."]


def _proof_remarks(result: Result, units: str) -> list[str]:
    """What was worked out as a whole job, and what that says."""
    proof, remarks = result.proof, []
    if result.unproved():
        remarks.append(
            "Not worked out as jobs, so that teeth, turns and every check are still to come: do so before one is sold."
        )
    else:
        remarks.append(
            "Each was worked out as a job with whole teeth and quarter turns, and its numbers are those of that job."
        )
    remarks += not_held_words(result, units)
    if proof.left_out:
        remarks.append(f"{proof.left_out} that would have been named fail a check of their parts, and are left out.")
    return remarks


def _told(result: Result, name: str, number: int) -> str:
    misses = [
        METRICS[goal.metric].label
        for goal in result.wanted.goals
        if met_words(goal, result.numbers(number)[goal.metric]) != "met"
    ]
    met = "meets every goal" if not misses else f"misses: {', '.join(misses)}"
    if result.worked(number) is None:
        met = f"{met} as far as was looked (not worked out as a job)"
    why = {
        "good": "the cheapest that does so well",
        "better": "nearest to the middle of what was asked for, at half the way in price",
        "best": "nearest to the middle of what was asked for",
    }[name]
    said = (f"{name}: {met}; {why}.", *fails_words(result, number), unknown_words(result, number))
    return " ".join(filter(None, said))
