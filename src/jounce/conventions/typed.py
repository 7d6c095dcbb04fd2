"""What was typed into a field for a number, or came where one is due."""

from __future__ import annotations

from jounce.conventions.units import Kind, unit_of

__all__ = ["whole", "with_unit"]


def whole(given: str, digits: int = 9) -> int | None:
    """The whole number that a text is; None where it is none, as a superscript or more digits than any number here has.

    Args:
        given: as it came
        digits: how many it may have

    >>> whole("12"), whole("²"), whole("-1"), whole("9" * 5000)
    (12, None, None, None)
    """
    return int(given) if given.isascii() and given.isdigit() and len(given) <= digits else None


def with_unit(given: str, kind: Kind, units: str) -> str:
    """The text with the unit of the page where it has none of its own.

    Args:
        given: as it was typed; a comma stands for a point
        kind: what it measures
        units: unit set of the page

    >>> with_unit("35", Kind.LENGTH, "metric"), with_unit("1,4 in", Kind.LENGTH, "metric")
    ('35 mm', '1.4 in')
    """
    given = given.strip().replace(",", ".").replace("−", "-")
    bare = not any(c.isalpha() or c in "°%'\"′″" for c in given)
    symbol = unit_of(kind, units).symbol
    return f"{given} {symbol}" if bare and symbol != "-" else given
