"""Between which ends a part's number is sought: those that a car file takes."""

from __future__ import annotations

from typing import Any, get_args

from jounce.car.file.fields import QuantityField
from jounce.conventions.units import unit_of

__all__ = ["bounds_of"]


def bounds_of(quantity: Any) -> tuple[float, float]:
    """Least and most that a car file takes of a quantity [SI].

    Args:
        quantity: its annotation in `jounce.car.file.ranges`
    """
    field = next(part for part in get_args(quantity) if isinstance(part, QuantityField))
    factor = unit_of(field.kind).factor
    return field.hard[0] * factor, field.hard[1] * factor
