"""Why a package that somebody asks about is not among the best: fit, limits, goals, money - each in words."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jounce.case.case import Case
from jounce.conventions.errors import InputError
from jounce.conventions.units import show
from jounce.search.build import SearchSpace
from jounce.search.goals import METRICS
from jounce.search.proof import worked_out
from jounce.search.result import Result
from jounce.search.shown import met_words, window_words
from jounce.search.slots import SLOTS, Choosy, Slot, cost_of, go_together, reasons_against, slot_named
from jounce.shelf.fit import pair_why_not
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf


def why_not(result: Result, shelf: Shelf, codes: Sequence[str], choosy: Choosy, units: str = "metric") -> list[str]:
    """What speaks against a package.

    Args:
        result: the search
        shelf: the shelf
        codes: parts that somebody asks about
        choosy: which parts were looked at
        units: unit set of the numbers told

    Returns:
        Sentences; a package that is as good as any says so

    Raises:
        InputError: a code that is not on the shelf, or two parts for one place
    """
    space = result.space
    package, reasons, beside = _package(space, shelf, codes, choosy)
    if package:
        reasons = reasons or _no_choice(result, package) or _worked_out(result, package, units)
    return [*reasons, *beside]


def _package(
    space: SearchSpace, shelf: Shelf, codes: Sequence[str], choosy: Choosy
) -> tuple[dict[str, Part], list[str], list[str]]:
    """The parts by slot, what speaks against one or two of them, and what is said of parts that no goal chooses."""
    package: dict[str, Part] = {}
    beside: list[str] = []
    reasons: list[str] = []
    for code in codes:
        part = shelf.part(code)
        slots = _slots_of(part)
        slot = slots[0] if slots else None
        if slot is not None and slot.picked:
            beside += [*reasons_against(part, slot, space.document, choosy), _picked(part, slot, space)]
            continue
        if slot is None:
            reasons.append(f"{code}: no place on this car is searched for a {part.TITLE}.")
            continue
        if slot.name in package:
            raise InputError(
                f"Two parts for the {slot.name}", found=f"{package[slot.name].code}, {code}", todo="Choose one."
            )
        for taken in slots if slot.around else slots[:1]:  # wheels for either axle go on both
            reasons += reasons_against(part, taken, space.document, choosy)
            package[taken.name] = part
    for one in package.values():
        for other in package.values():
            if one.code < other.code and one.place == other.place and not go_together(one, other):
                told = " ".join(reason.sentence() for reason in pair_why_not(one, other))
                reasons.append(f"{one.code} and {other.code} do not go together: {told}")
    return package, reasons, beside


def _picked(part: Part, slot: Slot, space: SearchSpace) -> str:
    """What is said of a part for a place in which no goal chooses."""
    told = space.picked.told.get(slot.name)
    if told is None:
        return f'{part.code}: the place was not asked for (--place "{slot.name}").'
    return f"{part.code}: no goal depends on it; picked is {told}"


def _slots_of(part: Part) -> list[Slot]:
    own = (slot for slot in SLOTS if slot.takes(part) and part.place in (str(slot.end), "either"))
    return [slot for slot in own if not slot.role or getattr(part, "role", "") == slot.role]


def _no_choice(result: Result, package: dict[str, Part]) -> list[str]:
    """Why parts that fit are no choice that can be worked out."""
    wheels = {name: part.code for name, part in package.items() if slot_named(name).around}
    on_them = (b for b in result.branches if {name: part.code for name, part in b.space.wheels.items()} == wheels)
    branch = next(on_them, None)
    if branch is None:
        return [f"On {' and '.join(dict.fromkeys(wheels.values()))} no choice of parts was paired."] if wheels else []
    for name, axle in zip(("front", "rear"), branch.axles, strict=True):
        wanted = {key: part.code for key, part in package.items() if key in _places(name)}
        chosen = []
        for group in axle.all.space.choices:
            own = [{k: p.code for k, p in option.parts.items() if not slot_named(k).picked} for option in group]
            keys = {key for one in own for key in one}
            asked = {key: code for key, code in wanted.items() if key in keys}
            if asked not in own:
                return [f"Too little is known of {', '.join(asked.values())} to work it out: measure it."]
            chosen.append(own.index(asked))
        if not (axle.all.chosen == np.array(chosen)).all(axis=1).any():
            return [f"These {name} parts do not go together."]
    return []


def _places(end: str) -> set[str]:
    return {slot.name for slot in SLOTS if str(slot.end) == end}


def _worked_out(result: Result, package: dict[str, Part], units: str) -> list[str]:
    """What the package says as a whole job: checks failed, goals missed, money."""
    done = worked_out(Case(result.space.document, result.space.job(package), result.wanted.rules))
    reasons = [f"It fails {text}" for text in (*done.parts, *done.wishes)]
    for goal in result.wanted.goals if done.numbers else ():
        metric, value = METRICS[goal.metric], done.numbers[goal.metric]
        if np.isnan(value):
            reasons.append(f"{metric.label}: not known.")
        elif goal.outside(value) != 0:
            missed = f"{met_words(goal, value, units)} than wanted ({window_words(goal, units)})"
            reasons.append(
                f"{metric.label}: {show(value, metric.kind, units)}, {missed}"
                + (f": {goal.reason}." if goal.reason else ".")
            )
    price, _ = cost_of(package)
    if price > result.wanted.budget:
        reasons.append(f"It costs {price:.2f}, more than the {result.wanted.budget:.2f} there are.")
    return reasons or [
        "Nothing speaks against it: it meets every goal and fails no check. Others are finer or cheaper."
    ]
