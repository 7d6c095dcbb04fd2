"""A wish at the counter as long work, and the wish read from a form; how low a car goes, worked out once for each car."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from jounce.case.case import Case
from jounce.checks.rules import NO_RULES, RuleSet, parse_rules
from jounce.conventions.errors import InputError
from jounce.conventions.typed import pointed
from jounce.conventions.units import Kind, read, unit_of
from jounce.search.workers import own_processes
from jounce.shelf.shelf import Shelf
from jounce.wanted.counter.found import Answered, Watch, answered
from jounce.wanted.counter.how_low import HowLow, how_low
from jounce.wanted.counter.wish import MOST_LOWER, CounterWish
from jounce.web.background import TaskControl
from jounce.web.case_cache import car_read, keep_case

__all__ = [
    "AskedWish",
    "WishForm",
    "as_text",
    "from_text",
    "low_of",
    "most_lower",
    "read_wish",
    "wish_answered",
    "wish_form",
]

_LONGEST = 100


@dataclass(frozen=True, slots=True)
class WishForm:
    """The form as texts.

    Attributes:
        car: entry of the car
        other: name of a car that was never measured and for which that one stands; empty for none
        lower: how much lower, in the unit of the desk or with its own
        feel: a word of `wish.FEELS`
        corner: a step of `wish.CORNERS`
        use: a word of `wish.USES`
        laden: whether people and luggage ride along
        budget: most that the parts may cost; empty for no limit

    """

    car: str = ""
    other: str = ""
    lower: str = ""
    feel: str = "same"
    corner: str = "2"
    use: str = "brisk"
    laden: bool = False
    budget: str = ""


@dataclass(frozen=True, slots=True)
class AskedWish:
    """A form read: the wish, None where something is wrong, and what that is by field."""

    wish: CounterWish | None
    wrong: Mapping[str, str] = field(default_factory=dict)


def wish_form(form: Mapping[str, str]) -> WishForm:
    """What a form says.

    Args:
        form: its fields
    """
    first = WishForm()
    return WishForm(
        form.get("car", "")[:_LONGEST],
        " ".join(form.get("other", "").split())[:_LONGEST],
        form.get("lower", "").strip()[:20],
        form.get("feel", first.feel),
        form.get("corner", first.corner),
        form.get("use", first.use),
        "laden" in form,
        form.get("budget", "").strip()[:20],
    )


def read_wish(form: WishForm, units: str) -> AskedWish:
    """The wish of a form, or all that is wrong with it.

    Args:
        form: the form
        units: unit set of a height without a unit
    """
    wrong: dict[str, str] = {}
    lower, budget = 0.0, math.inf
    try:
        lower = read(pointed(form.lower or "0"), Kind.LENGTH, unit_of(Kind.LENGTH, units).symbol)
        CounterWish(lower=min(max(lower, -1.0), 1.0))
    except InputError as problem:
        wrong["lower"] = str(problem)
    try:
        budget = float(pointed(form.budget)) if form.budget else math.inf
    except (ValueError, InputError):
        budget = math.nan
    if not budget >= 0:
        told = InputError("This is no amount of money", found=form.budget, allowed="0 or more, or empty for no limit")
        wrong["budget"] = str(told)
    if wrong:
        return AskedWish(None, wrong)
    try:
        return AskedWish(CounterWish(lower, form.feel, form.corner, form.use, form.laden, budget))
    except InputError as problem:
        return AskedWish(None, {"feel": str(problem)})


def as_text(form: WishForm) -> str:
    """The form as one text."""
    told = [form.car, form.other, form.lower, form.feel, form.corner, form.use, form.laden, form.budget]
    return json.dumps(told)


def from_text(text: str) -> WishForm:
    """The form of a text that `as_text` gave."""
    return WishForm(*json.loads(text))


def wish_answered(car: str, rules: str, shelf: Shelf, wish: CounterWish, hand: TaskControl) -> Answered:
    """Answer a wish.

    Args:
        car: TOML of the car
        rules: TOML of the shop's own rules; empty where it has none
        shelf: the parts
        wish: what is asked for
        hand: hears progress, says when to stop

    Raises:
        JounceError: the car finds no rest, or it was stopped before anything was found
    """

    def keep(text: str, case: Case) -> None:
        keep_case((text, car, rules), case)

    with own_processes() as workers:
        watch = Watch(workers, hand.tell, hand.stopped)
        return answered(car_read(car), _rules(rules), shelf, wish, watch, keep)


def _rules(text: str) -> RuleSet:
    return parse_rules(text, "the local rules") if text.strip() else NO_RULES


@lru_cache(maxsize=32)
def low_of(car: str, rules: str) -> HowLow:
    """How low a car goes, by the texts of its documents.

    Args:
        car: TOML of the car
        rules: TOML of the shop's own rules; empty where it has none

    Raises:
        JounceError: the car finds no rest
    """
    return how_low(car_read(car), _rules(rules))


def most_lower(units: str) -> tuple[float, float]:
    """End and step of the slider, in the unit of the desk.

    Args:
        units: unit set
    """
    unit = unit_of(Kind.LENGTH, units)
    return round(MOST_LOWER / unit.factor, 2), 1.0 if unit.factor <= 1e-3 else 0.05
