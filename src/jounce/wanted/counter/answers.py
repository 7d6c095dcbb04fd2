"""Three answers of what was tried: nearest to the wish, cheapest that fits, best balance; different kinds of work.

What fails no check is told before what fails one. What fails is told only where fewer than three hold, and is called so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jounce.wanted.counter.tried import Tried

__all__ = ["ToldPackage", "three_of"]

NEAREST, CHEAPEST, BALANCED, ANOTHER = "nearest to the wish", "cheapest that fits", "best balance", "another way"
CHEAPER_FAILING, FAILING = "cheapest, but does not fit", "another way, but does not fit"
"""What one is called that is told for want of one that fits."""


@dataclass(frozen=True, slots=True)
class ToldPackage:
    """A package that is told.

    Attributes:
        one: the package, worked out
        names: why it is told

    """

    one: Tried
    names: tuple[str, ...]


def three_of(tried: Sequence[Tried]) -> tuple[ToldPackage, ...]:
    """Up to three packages, each another kind of work where there are so many kinds.

    Nearest is the one that misses least of what was asked for; of those the one in the middle of what is asked for.
    Balance weighs what is missed against the price, each in its own range over all that is compared.

    Args:
        tried: what was worked out as whole jobs
    """
    known = [one for one in tried if one.case is not None]
    fitting = [one for one in known if one.fits]
    told: list[ToldPackage] = []

    def put(one: Tried, *names: str) -> None:
        told.append(ToldPackage(one, names))

    if fitting:
        nearest, cheapest = min(fitting, key=_by_wish), min(fitting, key=lambda one: (one.price, *_by_wish(one)))
        if nearest is cheapest:
            put(nearest, NEAREST, CHEAPEST)
        else:
            put(nearest, NEAREST)
            put(cheapest, CHEAPEST)
        for one in _others(fitting, told):
            put(one, ANOTHER if any(BALANCED in other.names for other in told) else BALANCED)
    failing = sorted((one for one in known if not one.fits), key=lambda one: (one.faults, *_by_wish(one)))
    if failing and not fitting:
        put(failing[0], f"{NEAREST}, but does not fit")
    for one in _others(failing, told):
        cheaper = all(one.price < other.one.price for other in told)
        put(one, CHEAPER_FAILING if cheaper else FAILING)
    return tuple(told)


def _others(among: Sequence[Tried], told: Sequence[ToldPackage]) -> list[Tried]:
    """As many more as make three: of kinds not told yet by their balance, then whatever differs from all that is told."""
    balance = _balance(among)
    chosen: list[Tried] = []
    shown = [other.one for other in told]
    for new_kind in (True, False):
        for one in sorted(among, key=lambda one: (one.faults, balance[one.number])):
            if len(shown) >= _ANSWERS:
                return chosen
            if any(one is other for other in shown) or (new_kind and any(one.kind == other.kind for other in shown)):
                continue
            shown.append(one)
            chosen.append(one)
    return chosen


_ANSWERS = 3


def _by_wish(one: Tried) -> tuple[float, float, float]:
    return one.score, one.fineness, one.price


def _balance(among: Sequence[Tried]) -> dict[int, float]:
    """What is missed and what it costs, each from 0 to 1 over those that are compared [-]."""
    missed = [float(np.sqrt(one.score)) for one in among]
    price = [one.price for one in among]
    return {one.number: _share(missed, k) + _share(price, k) for k, one in enumerate(among)}


def _share(values: Sequence[float], number: int) -> float:
    low, high = min(values), max(values)
    return 0.0 if high <= low else (values[number] - low) / (high - low)
