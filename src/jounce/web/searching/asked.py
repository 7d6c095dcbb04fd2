"""What a package search is asked for on its page: goals, budget, places, stock; read from a form, shown in it again."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field

from jounce.car.file.document import CarDocument
from jounce.conventions.errors import InputError
from jounce.conventions.typed import pointed, with_unit
from jounce.conventions.units import read, unit_of
from jounce.job.document import JobDocument
from jounce.search.alignment_parts import places_that_set
from jounce.search.goals import METRICS, Goal
from jounce.search.slots import SLOTS, USUAL_PLACES, Choosy
from jounce.search.written_goals import goals_of

__all__ = ["Read", "SearchForm", "as_form", "as_text", "asked_at_first", "asked_in", "from_text", "read_asked"]

_MOST_BUDGET = 1e6
_LONGEST_REASON = 200
_MOST_WEIGHT = 100.0
_PARTS = ("low", "high", "weight", "reason")


@dataclass(frozen=True, slots=True)
class SearchForm:
    """The form as texts, every number with its unit, so that any browser reads it alike.

    Attributes:
        goals: of each number its low and high end, weight and reason
        budget: most that the parts may cost; empty for no limit
        places: places for which parts are looked for
        in_stock: only parts that are there
        unsure: also parts of which it is not known whether they fit

    """

    goals: Mapping[str, Mapping[str, str]]
    budget: str = ""
    places: tuple[str, ...] = USUAL_PLACES
    in_stock: bool = False
    unsure: bool = False

    @property
    def choosy(self) -> Choosy:
        """Which parts are looked at."""
        return Choosy(in_stock=self.in_stock, unsure=self.unsure)


@dataclass(frozen=True, slots=True)
class Read:
    """A form read: goals and budget, and what is wrong by field.

    Attributes:
        goals: goals that could be read
        budget: most that the parts may cost; infinite for no limit
        wrong: what is wrong with a field, by its name

    """

    goals: tuple[Goal, ...]
    budget: float
    wrong: Mapping[str, str] = field(default_factory=dict)


def asked_at_first(job: JobDocument, car: CarDocument, units: str) -> SearchForm:
    """The form before anybody filled it in: the job's own goals, else the usual ones; places that it may have to open.

    Args:
        job: the job
        car: the car
        units: unit set of the numbers
    """
    told = {goal.metric: goal for goal in goals_of(job)}
    places = (*USUAL_PLACES, *places_that_set(car, job))
    return SearchForm({name: _texts(told.get(name), units) for name in METRICS}, places=places)


def asked_in(form: Mapping[str, str], units: str) -> SearchForm:
    """What a form says.

    Args:
        form: its fields
        units: unit set of numbers without a unit
    """
    goals = {}
    for name, metric in METRICS.items():
        texts = {part: " ".join(form.get(f"{name}.{part}", "").split())[:_LONGEST_REASON] for part in _PARTS}
        for end in ("low", "high"):
            with suppress(InputError):  # it stays as typed, and is refused where its window is read
                texts[end] = with_unit(texts[end], metric.kind, units) if texts[end] else ""
        goals[name] = texts
    return SearchForm(
        goals,
        form.get("budget", "").strip()[:20],
        tuple(slot.name for slot in SLOTS if f"place.{slot.name}" in form),
        "in_stock" in form,
        "unsure" in form,
    )


def read_asked(asked: SearchForm) -> Read:
    """Goals and budget of a form, or all that is wrong with it.

    Args:
        asked: the form
    """
    goals: list[Goal] = []
    wrong: dict[str, str] = {}
    for name, texts in asked.goals.items():
        if not texts["low"] and not texts["high"]:
            continue
        low, high = (_end(name, texts, end, wrong) for end in ("low", "high"))
        if low is not None and high is not None and low > high:
            wrong[f"{name}.low"] = str(InputError("The window is empty", todo="Give the smaller number first."))
        weight = _number(texts["weight"] or "1", 0.0, _MOST_WEIGHT)
        if weight is None:
            wrong[f"{name}.weight"] = _not_within(texts["weight"], f"0 to {_MOST_WEIGHT:g}")
        elif weight > 0 and low is not None and high is not None and low <= high:
            goals.append(Goal(name, low, high, weight, texts["reason"]))
    budget = _number(asked.budget, 0.0, _MOST_BUDGET) if asked.budget else math.inf
    if budget is None:
        wrong["budget"] = _not_within(asked.budget, "0 or more, or empty for no limit")
    if not goals and not wrong:
        wrong["goals"] = str(InputError("Nothing is asked for", todo="Give at least one goal a window and a weight."))
    if not asked.places:
        wrong["places"] = str(InputError("No place is ticked", todo="Tick at least one place to look for parts."))
    return Read(tuple(goals), math.inf if budget is None else budget, wrong)


def as_text(asked: SearchForm) -> str:
    """The form as one text."""
    return json.dumps([asked.goals, asked.budget, asked.places, asked.in_stock, asked.unsure], sort_keys=True)


def as_form(asked: SearchForm) -> dict[str, str]:
    """The form's fields, as a browser sends them.

    Args:
        asked: the form
    """
    fields = {f"{name}.{part}": text for name, texts in asked.goals.items() for part, text in texts.items()}
    fields |= {f"place.{name}": "1" for name in asked.places} | {"budget": asked.budget}
    ticked = {"in_stock": asked.in_stock, "unsure": asked.unsure}
    return fields | {name: "1" for name, on in ticked.items() if on}


def from_text(text: str) -> SearchForm:
    """The form of a text that `as_text` gave."""
    goals, budget, places, in_stock, unsure = json.loads(text)
    return SearchForm(goals, budget, tuple(places), in_stock, unsure)


def _texts(goal: Goal | None, units: str) -> dict[str, str]:
    if goal is None:
        return dict.fromkeys(_PARTS, "")
    unit = unit_of(METRICS[goal.metric].kind, units)
    symbol = "" if unit.symbol == "-" else f" {unit.symbol}"
    low, high = (f"{end / unit.factor:.4g}{symbol}" for end in (goal.low, goal.high))
    return {"low": low, "high": high, "weight": f"{goal.weight:g}", "reason": goal.reason}


def _end(name: str, texts: Mapping[str, str], end: str, wrong: dict[str, str]) -> float | None:
    """One end of a window; one that cannot be read is told at its own field, and is None."""
    if not texts[end]:
        wrong[f"{name}.{end}"] = str(InputError("A window has two ends", todo="Give this one too, or empty both."))
        return None
    try:
        return read(pointed(texts[end]), METRICS[name].kind)
    except InputError as problem:
        wrong[f"{name}.{end}"] = str(problem)
        return None


def _number(text: str, low: float, high: float) -> float | None:
    try:
        value = float(pointed(text))
    except (ValueError, InputError):
        return None
    return value if low <= value <= high else None


def _not_within(found: str, allowed: str) -> str:
    return str(InputError("This number cannot be used", found=found, allowed=allowed))
