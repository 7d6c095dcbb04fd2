"""What was typed into a field for a number, or came where one is due; and how it stands there again."""

from __future__ import annotations

import re

from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, unit_of

__all__ = ["neat", "pointed", "whole", "with_unit"]

_THOUSANDS = re.compile(r"(?<![\d.,])([1-9]\d{0,2}),(\d{3})(?![\d.,])")


def whole(given: str, digits: int = 9) -> int | None:
    """The whole number that a text is; None where it is none, as a superscript or more digits than any number here has.

    Args:
        given: as it came
        digits: how many it may have

    >>> whole("12"), whole("²"), whole("-1"), whole("9" * 5000)
    (12, None, None, None)
    """
    return int(given) if given.isascii() and given.isdigit() and len(given) <= digits else None


def pointed(given: str) -> str:
    """The text with a point where a comma stands for one, and a hyphen for a true minus sign.

    Args:
        given: as it was typed

    Raises:
        InputError: a comma before three digits, which could as well part thousands

    >>> pointed("1,4 in"), pointed("−0,125")
    ('1.4 in', '-0.125')
    """
    unclear = _THOUSANDS.search(given)
    if unclear:
        small, large = ".".join(unclear.groups()), "".join(unclear.groups())
        raise InputError(
            "This comma can be read in two ways",
            found=f'"{unclear[0]}"',
            allowed=f"{large}, or {small}",
            todo=f"Write {large} if the comma parts thousands, or {small} with a point if it parts decimals.",
        )
    return given.replace(",", ".").replace("−", "-")


def with_unit(given: str, kind: Kind, units: str) -> str:
    """The text with the unit of the page where it has none of its own.

    Args:
        given: as it was typed; a comma stands for a point where it cannot part thousands
        kind: what it measures
        units: unit set of the page

    Raises:
        InputError: a comma that can be read in two ways

    >>> with_unit("35", Kind.LENGTH, "metric"), with_unit("1,4 in", Kind.LENGTH, "metric")
    ('35 mm', '1.4 in')
    """
    given = pointed(given.strip())
    bare = not any(c.isalpha() or c in "°%'\"′″" for c in given)
    symbol = unit_of(kind, units).symbol
    return f"{given} {symbol}" if bare and symbol != "-" else given


def neat(value: float, decimals: int) -> str:
    """A number for a field: exactly as it was written, but without the tail that a change of units leaves.

    Args:
        value: the number, in the unit of the field
        decimals: that its unit usually has

    >>> neat(23.456, 1), neat(35 / 25.4, 3), neat(0.05 / 25.4, 3)
    ('23.456', '1.378', '0.00197')
    """
    text = f"{value:.8g}"
    if "e" in text or len(text.partition(".")[2]) <= decimals + 2:
        return text
    rounded = f"{value:.{decimals}f}"
    return rounded.rstrip("0").rstrip(".") if abs(value) >= 10.0 ** (2 - decimals) else f"{value:.3g}"
