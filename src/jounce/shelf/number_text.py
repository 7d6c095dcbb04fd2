"""Numbers as text that reads back as exactly the same number."""

from __future__ import annotations

from jounce.conventions.unit_table import UNITS
from jounce.conventions.units import Kind, read, unit_of

__all__ = ["number_text", "plain_number"]


def number_text(si: float, kind: Kind) -> str:
    """A number in the default unit of its kind, without the unit; with its SI unit where only so it is exact.

    Args:
        si: the value [SI]
        kind: what it measures

    >>> number_text(0.0225, Kind.LENGTH)
    '22.5'
    >>> number_text(0.1 + 0.2, Kind.LENGTH)
    '300.00000000000006'
    """
    factor = unit_of(kind).factor
    for digits in (12, 13, 14, 15, 16, 17):
        text = f"{si / factor:.{digits}g}"
        if read(float(text), kind) == si:
            return plain_number(text)
    base = next(unit for unit in UNITS[kind] if unit.factor == 1.0)
    return f"{si!r} {base.symbol}"


def plain_number(text: str) -> str:
    """A number without a needless exponent or decimal: ``1e+03`` and ``1000.0`` become ``1000``.

    Args:
        text: the number
    """
    value = float(text)
    whole = f"{value:.0f}"
    return whole if abs(value) < 1e15 and float(whole) == value and whole != "-0" else text
