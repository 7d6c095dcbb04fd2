"""Three answers of what a search found: nearest to the wish, cheapest that fits, best balance; never the same parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from jounce.search.run import Result

__all__ = ["ToldPackage", "three_of"]

NEAREST, CHEAPEST, BALANCED, ANOTHER = "nearest to the wish", "cheapest that fits", "best balance", "another way"
_FEWEST_APART = 2
"""In so many places the third answer differs from the others, where there is such a one."""
NOT_FITTING = "cheapest"
"""What the cheapest is called where none fits."""


@dataclass(frozen=True, slots=True)
class ToldPackage:
    """A package that is told.

    Attributes:
        number: its number among those that the search kept
        names: why it is told

    """

    number: int
    names: tuple[str, ...]


def three_of(result: Result) -> tuple[ToldPackage, ...]:
    """Up to three packages of different parts, all of them worked out as whole jobs.

    Nearest is the one with the fewest checks failed and goals missed; of those the one in the middle of what is asked for.
    Balance weighs what is missed against the price, each in its own range over all that was worked out.

    Args:
        result: the search
    """
    known = [k for k in range(len(result.found.score)) if result.worked(k) is not None] or list(
        range(len(result.found.score))
    )
    if not known:
        return ()
    found = result.found
    nearest = min(known, key=lambda k: (found.merit[k], found.fineness[k], found.price[k]))
    fitting = [k for k in known if _fits(result, k)]
    cheapest = min(fitting or known, key=lambda k: (found.price[k], found.merit[k], found.fineness[k]))
    names: dict[int, list[str]] = {nearest: [NEAREST]}
    names.setdefault(cheapest, []).append(CHEAPEST if fitting else NOT_FITTING)
    balance = _balance(result, fitting or known)
    left = [k for k in known if k not in names]
    rest = sorted(left, key=lambda k: (k not in fitting, _alike(result, k, names), balance[k]))
    for k in rest[: 3 - len(names)]:
        names[k] = [BALANCED if [BALANCED] not in names.values() else ANOTHER]
    return tuple(ToldPackage(k, tuple(told)) for k, told in names.items())


def _alike(result: Result, number: int, told: Iterable[int]) -> bool:
    """Whether a package differs from one that is told already in a single place."""
    own = {place: part.code for place, part in result.package(number).items()}
    for other in told:
        codes = {place: part.code for place, part in result.package(other).items()}
        if sum(own.get(place) != codes.get(place) for place in {*own, *codes}) < _FEWEST_APART:
            return True
    return False


def _fits(result: Result, number: int) -> bool:
    done = result.worked(number)
    return done is not None and not done.parts and not done.wishes


def _balance(result: Result, among: list[int]) -> Mapping[int, float]:
    """What is missed and what it costs, each from 0 to 1 over those that are compared [-]."""
    found = result.found
    missed, price = np.sqrt(found.merit), found.price
    return {k: _share(missed, k, among) + _share(price, k, among) for k in range(len(found.score))}


def _share(values: np.ndarray, number: int, among: list[int]) -> float:
    low, high = float(values[among].min()), float(values[among].max())
    return 0.0 if high <= low else (float(values[number]) - low) / (high - low)
