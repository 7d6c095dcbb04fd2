"""Which numbers of a car were not measured on it, but taken over from another one until they are."""

from __future__ import annotations

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.walk import leaves

__all__ = ["ASSUMED", "assumed_values", "is_assumed"]

ASSUMED = "assumed"
"""How the origin of such a number begins, as in "assumed, as Brisk 14"."""


def is_assumed(value: Measured | MeasuredPoint) -> bool:
    """Whether a number or a point says that it was not measured on this car.

    Args:
        value: with its origin
    """
    return value.origin.startswith(ASSUMED)


def assumed_values(document: CarDocument) -> list[str]:
    """Places in the file of all that is assumed, a point counted once.

    Args:
        document: the car
    """
    return [
        leaf.name
        for leaf in leaves(document)
        if isinstance(leaf.value, (Measured, MeasuredPoint)) and is_assumed(leaf.value)
    ]
