"""What is possible but not usual on a shelf: a slip of the pen shows here before it shows in a package."""

from __future__ import annotations

from collections.abc import Iterator

from jounce.car.file.fields import QuantityField
from jounce.car.file.quantity import Measured
from jounce.car.file.section import form_of
from jounce.car.parts import Spring
from jounce.conventions.units import Kind, show
from jounce.shelf.kinds.coils import CoilPart
from jounce.shelf.part import Part

__all__ = ["remarks_on"]

RATE_TOLERANCE = 0.05
"""Rates of a batch of springs differ by so much as a rule: common practice [-]."""
_BY_WIRE = {"rate": None}


def remarks_on(part: Part) -> tuple[str, ...]:
    """Plain sentences on what is not usual in a part.

    Args:
        part: the part
    """
    return (*_unusual(part), *_rates(part))


def _unusual(part: Part) -> Iterator[str]:
    for key, value in part.values.items():
        quantity = form_of(type(part).model_fields[key], QuantityField)
        remark = quantity.remark(value) if quantity is not None and isinstance(value, Measured) else ""
        if remark:
            yield f"{part.code}, {key}: {remark}"


def _rates(part: Part) -> Iterator[str]:
    """A rate that is given against the one that follows from the wire."""
    if not isinstance(part, CoilPart) or part.rate is None or part.wire is None or part.inside is None:
        return
    if part.active_turns is None and (part.total_turns is None or part.ends is None):
        return
    by_wire = Spring.model_validate(part.as_written | _BY_WIRE).first_rate
    if by_wire is not None and abs(float(by_wire) / part.rate.value - 1) > RATE_TOLERANCE:
        given, found = show(part.rate.value, Kind.SPRING_RATE), show(float(by_wire), Kind.SPRING_RATE)
        yield f"{part.code}, rate: {given} is given, but {found} follows from wire and turns. Measure again."
