"""What a search found, for its page: packages side by side, each with the sentence that a person would say about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jounce.conventions.units import show
from jounce.search.goals import METRICS, Goal
from jounce.search.result import Result
from jounce.search.shown import fails_words, met_words, not_held_words, unknown_words, window_words
from jounce.search.slots import bought
from jounce.shelf.part import Part

__all__ = [
    "Against",
    "ShownPackage",
    "against_goals",
    "money",
    "package_of",
    "price_steps",
    "said_of_search",
    "three_packages",
]


@dataclass(frozen=True, slots=True)
class ShownPackage:
    """A package as it is shown.

    Attributes:
        number: its number among those that the search kept
        names: what it is called: good, better, best; none for another step of the price
        price: what the parts cost, with currency
        hours: labour, in words
        missed: whole misses, in words; "0" where every goal is met
        parts: place, part and how many lots of it are bought; none where they are of a set that another place has
        said: one sentence or two about it

    """

    number: int
    names: tuple[str, ...]
    price: str
    hours: str
    missed: str
    parts: tuple[tuple[str, Part, int], ...]
    said: str

    @property
    def title(self) -> str:
        """What it is called on the page."""
        return " and ".join(self.names).capitalize()


@dataclass(frozen=True, slots=True)
class Against:
    """One goal beside what the packages reach: of each whether it meets it, its number, and by how much it misses."""

    label: str
    window: str
    weight: str
    reason: str
    cells: tuple[tuple[bool, str, str], ...]


def three_packages(result: Result, units: str) -> list[ShownPackage]:
    """Good, better and best; one that is two of them stands once, under both names.

    Args:
        result: the search
        units: unit set of the numbers told
    """
    names: dict[int, list[str]] = {}
    for name, number in result.three().items():
        names.setdefault(number, []).append(name)
    return [package_of(result, number, units, called) for number, called in names.items()]


def package_of(result: Result, number: int, units: str, names: Sequence[str] = ()) -> ShownPackage:
    """One package.

    Args:
        result: the search
        number: its number among those kept
        units: unit set of the numbers told
        names: what it is called
    """
    parts = result.package(number)
    lots = bought(parts)
    price = money(float(result.found.price[number]), list(parts.values()))
    return ShownPackage(
        number,
        tuple(names),
        price,
        f"{result.hours(number):.1f} h",
        f"{float(result.found.score[number]) ** 0.5:.2f}",
        tuple((name, parts[name], count) for name, count in lots.items()),
        _said(result, number, units, names),
    )


def against_goals(result: Result, packages: Sequence[ShownPackage], units: str) -> list[Against]:
    """Every goal with what some packages reach.

    Args:
        result: the search
        packages: the packages
        units: unit set of the numbers told
    """
    return [
        Against(
            METRICS[goal.metric].label,
            window_words(goal, units),
            f"{goal.weight:g}",
            goal.reason,
            tuple(_cell(result, goal, package.number, units) for package in packages),
        )
        for goal in result.wanted.goals
    ]


def price_steps(result: Result, units: str) -> list[ShownPackage]:
    """What more money buys: packages that no cheaper one equals, some steps of many.

    Args:
        result: the search
        units: unit set of the numbers told
    """
    named: dict[int, list[str]] = {}
    for name, number in result.three().items():
        named.setdefault(number, []).append(name)
    return [package_of(result, number, units, named.get(number, ())) for number in result.price_steps()]


def said_of_search(result: Result, units: str = "metric", *, stopped: bool = False) -> str:
    """What was looked at and what came of it, as a person would say it.

    Args:
        result: the search
        units: unit set of the numbers told
        stopped: whether somebody stopped it, be it after the last package was judged
    """
    met, looked = result.found.met, result.found.looked
    told = f"Of {result.combinations:,} combinations "
    if result.stopped:
        told = f"Stopped before the end: {result.stopped}. Of these "
    elif stopped:
        told = f"Stopped before the end. {told}"
    if not len(result.found.score):
        if result.proof.left_out:
            return f"{told}none is left: what was worked out fails a check. Widen the goals, or look in more places."
        return f"{told}none can be had for this budget."
    late = result.unproved()
    rest = "" if not late else f" {late} of those below {'was' if late == 1 else 'were'} not worked out as a whole job."
    rest = " ".join((rest, *not_held_words(result, units)))
    if met:
        return f"{told}{met:,} should meet every goal.{rest}"
    return f"{told}none meets every goal; {looked:,} that keep the hard limits were judged. These come nearest.{rest}"


def money(amount: float, parts: Sequence[Part]) -> str:
    """An amount with the currency of the shelf.

    Args:
        amount: the sum
        parts: parts that it is the sum of
    """
    currency = next((part.currency for part in parts if part.currency), "")
    return f"{amount:,.2f} {currency}".strip()


def _said(result: Result, number: int, units: str, names: Sequence[str]) -> str:
    goals, metrics = result.wanted.goals, result.found.metrics
    missed = [goal for goal in goals if _miss(result, goal, number) > 0]
    if result.does_all(number):
        first = "It does all that is asked"
    elif not missed:
        first = "It meets every goal" if result.worked(number) else "It should meet every goal"
    elif len(missed) == len(goals):
        first = "It meets no goal"
    else:
        first = f"It meets {len(goals) - len(missed)} of {len(goals)} goals"
    numbers = []
    for name, form in (("front_frequency", "rides at {} in front"), ("roll_gradient", "leans {}")):
        value = float(metrics[name][number])
        if value == value:
            numbers.append(form.format(show(value, METRICS[name].kind, units)))
    told = [", ".join([first, *numbers[:-1]]) + (f" and {numbers[-1]}" if numbers else "") + "."]
    told += [f"It misses {METRICS[g.metric].label}: {_by(result, g, number, units)}." for g in missed[:3]]
    if len(missed) > 3:
        told.append(f"{len(missed) - 3} more are missed.")
    told += [*fails_words(result, number), unknown_words(result, number)]
    told += [_WHY[name] for name in names if name in _WHY][-1:]
    return " ".join(filter(None, told))


_WHY = {
    "good": "Nothing cheaper does so well.",
    "better": "For half the difference in price, the nearest to the middle of what is asked.",
    "best": "Nothing comes nearer to the middle of what is asked.",
}


def _cell(result: Result, goal: Goal, number: int, units: str) -> tuple[bool, str, str]:
    value = float(result.found.metrics[goal.metric][number])
    shown = "not known" if value != value else show(value, METRICS[goal.metric].kind, units)
    met = _miss(result, goal, number) == 0
    return met, shown, "" if met else _by(result, goal, number, units)


def _by(result: Result, goal: Goal, number: int, units: str) -> str:
    return met_words(goal, float(result.found.metrics[goal.metric][number]), units)


def _miss(result: Result, goal: Goal, number: int) -> float:
    return float(goal.miss(result.found.metrics[goal.metric][number : number + 1])[0])
