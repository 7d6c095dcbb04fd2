"""What a sentence wishes of a part: a frequency, a rate, a balance; a flat ride where it wishes nothing in numbers."""

from __future__ import annotations

from collections.abc import Mapping

from jounce.asked.amounts import AmountUnit, Wording
from jounce.case.case import Case
from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import DEG
from jounce.layouts.naming import SIDES

__all__ = ["FLAT_RIDE", "is_flat_ride", "wish_of"]

FLAT_RIDE = 1.15
"""Ride frequency behind over that in front for a flat ride: 1.1 to 1.2 by common practice, no source [-]."""


def wish_of(told: Wording, case: Case) -> Mapping[str, object]:
    """What the question of parts is given for a sentence.

    Args:
        told: amounts of the sentence
        case: what it is asked of, as a job
    """
    lower = told.lower or {}
    axle = next(iter(lower)) if len(lower) == 1 else told.places[0] if len(told.places) == 1 else "rear"
    if told.bar is not None:
        axle = "rear"  # the front has the bars that are told
    given = {"axle": axle, **({"frequency": (_flat(case, axle),)} if is_flat_ride(told) else _in_numbers(told))}
    return given | {"lower": (lower[axle],)} if axle in lower else given


def is_flat_ride(told: Wording) -> bool:
    """Whether nothing was wished in numbers, a height neither, so that a flat ride is taken.

    Args:
        told: amounts of the sentence
    """
    return not _in_numbers(told) and not told.lower


def _in_numbers(told: Wording) -> dict[str, object]:
    """What the question of parts is given of what was wished in numbers."""
    given: dict[str, object] = {}
    frequencies, rates = told.of(AmountUnit.FREQUENCY), told.of(AmountUnit.RATE)
    shares, leans, across = told.of(AmountUnit.SHARE), told.of(AmountUnit.ANGLE), told.of(AmountUnit.LATERAL)
    if frequencies:
        given["frequency"] = frequencies[:1]
    if rates:
        given["wheel_rate"] = rates[:1]
    if told.rolls and shares:
        given["front_share"] = (shares[0] / 100,)
    elif told.rolls and leans:
        given["roll"] = (leans[0] * DEG,)
    elif told.rolls and across:
        given["lift"] = (across[0] * GRAVITY,)
    return given


def _flat(case: Case, axle: str) -> float:
    """Ride frequency of an axle that goes with the other end's [Hz]."""
    other = "front" if axle == "rear" else "rear"
    rows = [case.row(f"{other}.{side}.ride_frequency").planned or 0.0 for side in SIDES]
    mean = sum(rows) / len(rows)
    return round(mean * FLAT_RIDE if axle == "rear" else mean / FLAT_RIDE, 2)
