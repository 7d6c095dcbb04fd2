"""Numbers as they stand in a sheet's tables: the unit in the head, the ± behind the number."""

from __future__ import annotations

import math

from jounce.conventions.units import Kind, show, unit_of

UNKNOWN = "unknown"
_DEGREE = 60  # minutes


def number(value: float | None, kind: Kind, units: str, *, band: float = 0.0, sign: bool = False) -> str:
    """A value without its unit, and its ± where that would not print as zero.

    Args:
        value: [SI]; None where it is not known
        kind: what it measures
        units: unit set to show
        band: half width of its band [SI]
        sign: write a plus before positive values
    """
    if value is None:
        return UNKNOWN
    text, width = (show(x, kind, units, sign=s).partition(" ")[0] for x, s in ((value, sign), (band, False)))
    return f"{text} ± {width}" if any(digit in "123456789" for digit in width) else text


def unit(kind: Kind, units: str) -> str:
    """The unit in brackets, as a head or a label carries it; nothing for a plain ratio."""
    symbol = unit_of(kind, units).symbol
    return "" if symbol == "-" else f" [{symbol}]"


def degrees_minutes(angle: float | None) -> str:
    """An angle in degrees and minutes, as alignment rigs show it.

    >>> degrees_minutes(-0.0174532925)
    '−1°00′'
    """
    if angle is None:
        return UNKNOWN
    minutes = round(math.degrees(angle) * _DEGREE)
    sign = "−" if minutes < 0 else "+" if minutes else ""
    return f"{sign}{abs(minutes) // _DEGREE}°{abs(minutes) % _DEGREE:02d}′"


def angle_with_band(shown: str, band: float) -> str:
    """An angle as shown in degrees and minutes, with its ± where that is a minute or more.

    Args:
        shown: the angle
        band: half width of its band [rad]

    >>> angle_with_band("−1°00′", 0.0029)
    '−1°00′ ± 10′'
    """
    minutes = round(math.degrees(band) * _DEGREE)
    return f"{shown} ± {minutes}′" if minutes else shown
