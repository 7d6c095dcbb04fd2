"""Toe as a shop types it: an angle, or millimetres over the diameter across which they were measured."""

from __future__ import annotations

import re
from math import degrees

from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, read_measured, read_toe_across
from jounce.car.file.toe import is_length
from jounce.conventions.errors import InputError
from jounce.conventions.typed import with_unit
from jounce.conventions.units import Kind

__all__ = ["rim_of", "toe_with_unit"]

_ACROSS = re.compile(
    r"(?P<length>[^a-z]*[a-z\"″]*(?:\s*±[^a-z]*[a-z\"″]*)?)\s+(?:over|across|über|auf)\s+(?P<diameter>.+)",
    re.IGNORECASE,
)


def rim_of(document: CarDocument, axle: str) -> Measured | None:
    """The rim's diameter that a car file states; None where it states none.

    Args:
        document: the car
        axle: "front" or "rear"
    """
    wheel = getattr(getattr(document, axle).left, "wheel", None)
    found: Measured | None = getattr(wheel, "rim_diameter", None)
    return found


def toe_with_unit(given: str, units: str, rim: Measured | None = None) -> str:
    """The text as an angle with its unit.

    Args:
        given: as it was typed: an angle, "2 mm over 365 mm", or a length alone over the rim
        units: unit set of the page
        rim: diameter that a length alone is measured over [m]; None where none is known

    Raises:
        InputError: a length without a diameter, or one that is no toe

    >>> toe_with_unit("0,2", "metric"), toe_with_unit("2 mm over 365 mm", "metric")
    ('0.2 deg', '0.31395 deg')
    """
    text = given.strip().replace("−", "-")
    across = _ACROSS.fullmatch(text)
    if across is None and not is_length(text.replace(",", ".")):
        return with_unit(given, Kind.ANGLE, units)
    length = with_unit(across["length"] if across else text, Kind.LENGTH, units)
    diameter = rim if across is None else read_measured(with_unit(across["diameter"], Kind.LENGTH, units), Kind.LENGTH)
    if diameter is None:
        raise InputError(
            "Toe as a length needs the diameter across which it was measured",
            found=f'"{given.strip()}"',
            allowed='"2 mm over 365 mm", or an angle as in "0.3 deg"',
            todo="Say over what.",
        )
    if diameter.value <= 0:
        raise InputError("A diameter is more than nothing", found=f'"{given.strip()}"', todo="Measure it again.")
    toe = read_toe_across(length, diameter)
    band = f" ± {degrees(toe.plus_minus):.3g}" if toe.plus_minus else ""
    return f"{degrees(toe.value):.5f}".rstrip("0").rstrip(".") + f"{band} deg"
