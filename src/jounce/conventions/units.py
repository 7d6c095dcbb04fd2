"""Units at the door: the one place that turns what a person writes into SI, and SI into what a person reads.

Inside the program every number is SI (m, N, rad, kg, s). ``read`` takes a number or a text such as ``"650 lbf/in"``
or ``"0°30'"``; ``to_display`` and ``show`` go the other way in the unit set that the person chose.

The units of the trade stand in a table of exact factors, and a unit that is not in it is none: nothing that a person
types is ever worked out as a formula.

>>> round(read("650 lbf/in", Kind.SPRING_RATE), 3)
113832.443
>>> show(read("7/8 in", Kind.LENGTH), Kind.LENGTH)
'22.2 mm'
"""

from __future__ import annotations

import math
import re
from difflib import get_close_matches
from functools import cache
from typing import TYPE_CHECKING, TypeVar

from jounce.conventions import unit_table as table
from jounce.conventions.errors import InputError
from jounce.conventions.unit_table import (
    ARC_MINUTE,
    ARC_SECOND,
    BAR,
    CM,
    DEG,
    DEG_PER_IN,
    DEG_PER_MM,
    FOOT,
    G_PER_CM3,
    GPA,
    INCH,
    KGF,
    KGF_M,
    KGF_M_PER_DEG,
    KGF_PER_CM2,
    KGF_PER_MM,
    KGF_PER_MM2,
    KM_PER_H,
    KN,
    KSI,
    LBF,
    LBF_FT,
    LBF_FT_PER_DEG,
    LBF_IN,
    LBF_IN_PER_DEG,
    LBF_PER_IN,
    LBF_S_PER_IN,
    MM,
    MPA,
    MPH,
    N_M_PER_DEG,
    N_PER_MM,
    N_S_PER_MM,
    PERCENT,
    POUND,
    PSI,
    STANDARD_GRAVITY,
    Kind,
    Unit,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Number = TypeVar("Number", float, NDArray[np.float64])
else:
    Number = TypeVar("Number")

__all__ = [
    "ARC_MINUTE",
    "ARC_SECOND",
    "BAR",
    "CM",
    "DEG",
    "DEG_PER_IN",
    "DEG_PER_MM",
    "FOOT",
    "GPA",
    "G_PER_CM3",
    "INCH",
    "KGF",
    "KGF_M",
    "KGF_M_PER_DEG",
    "KGF_PER_CM2",
    "KGF_PER_MM",
    "KGF_PER_MM2",
    "KM_PER_H",
    "KN",
    "KSI",
    "LBF",
    "LBF_FT",
    "LBF_FT_PER_DEG",
    "LBF_IN",
    "LBF_IN_PER_DEG",
    "LBF_PER_IN",
    "LBF_S_PER_IN",
    "LONGEST",
    "MM",
    "MPA",
    "MPH",
    "N_M_PER_DEG",
    "N_PER_MM",
    "N_S_PER_MM",
    "PERCENT",
    "POUND",
    "PSI",
    "STANDARD_GRAVITY",
    "UNIT_SETS",
    "Kind",
    "Unit",
    "column",
    "read",
    "show",
    "show_apart",
    "si_unit",
    "tidied",
    "to_display",
    "to_si",
    "unit_of",
]

UNIT_SETS: tuple[str, ...] = tuple(table.UNIT_SETS)

_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_SIZE = re.compile(rf"(?:(?P<whole>\d+)\s+)?(?P<over>\d+)\s*/\s*(?P<under>\d+)(?![\d/])|(?P<number>{_NUMBER})")
_LARGEST = 1e300  # a number beyond it is none
_LONGEST_SHOWN = 60
LONGEST = 200
"""Characters of the longest text that is read as a value: number, unit, band and blanks."""
_COMPOUND = {Kind.ANGLE, Kind.LENGTH}  # 0°30'15", 1 ft 2 in


def read(value: object, kind: Kind, default_unit: str = "") -> float:
    """Read what a person wrote as an SI number.

    Args:
        value: a number in the default unit, or a text with a unit (``"22.5 mm"``, ``"7/8 in"``, ``"-0°30'"``)
        kind: what the number measures
        default_unit: unit of a bare number; the default unit of the kind if empty

    Returns:
        The value in SI

    Raises:
        InputError: not a number, too long for one, an unknown unit, or a unit of another kind

    """
    unit = _unit(kind, default_unit or table.DEFAULT_UNIT[kind])
    if isinstance(value, str):
        return _read_text(tidied(value), kind, unit)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) <= _LARGEST:
        raise _not_understood(str(value).lower() if isinstance(value, bool) else _shortened(repr(value)), kind)
    return float(value) * unit.factor


def tidied(text: str) -> str:
    """A typed value as it is read: no blanks around it and one where several stood.

    What goes on to be searched for signs, numbers and units is then short, and has no long runs that patterns would
    go over again and again.

    Args:
        text: as typed

    Raises:
        InputError: longer than any value with its unit and band can be

    >>> tidied("  22.5    mm ")
    '22.5 mm'
    """
    if len(text) > LONGEST:
        raise InputError(
            "This text is too long to be a measured value",
            found=_shortened(repr(text[:LONGEST])),
            allowed=f"up to {LONGEST} characters",
            todo="Give a number and its unit.",
        )
    return " ".join(text.split())


def unit_of(kind: Kind, unit_set: str = "metric") -> Unit:
    """The unit in which a unit set shows a kind.

    >>> unit_of(Kind.SPRING_RATE, "inch").symbol
    'lbf/in'
    """
    if unit_set not in table.UNIT_SETS:
        raise InputError(
            "Unknown set of units",
            found=repr(unit_set),
            allowed=", ".join(UNIT_SETS),
            todo="Choose one of these.",
        )
    return _unit(kind, table.UNIT_SETS[unit_set].get(kind, table.DEFAULT_UNIT[kind]))


def si_unit(kind: Kind) -> str:
    """Symbol of the SI unit of a kind; "1" where nothing is measured.

    Args:
        kind: what a number measures

    >>> si_unit(Kind.SPRING_RATE), si_unit(Kind.SHARE)
    ('N/m', '1')
    """
    found = next((unit.symbol for unit in table.UNITS[kind] if unit.factor == 1.0), "-")
    return "1" if found == "-" else found


def to_display(si: Number, kind: Kind, unit_set: str = "metric") -> Number:
    """An SI number, or an array of them, in the unit that the unit set shows."""
    return si / unit_of(kind, unit_set).factor


def to_si(shown: Number, kind: Kind, unit_set: str = "metric") -> Number:
    """The way back from :func:`to_display`."""
    return shown * unit_of(kind, unit_set).factor


def show(si: float, kind: Kind, unit_set: str = "metric", *, sign: bool = False) -> str:
    """An SI number as text with its unit, rounded to the decimals that suit the unit.

    Args:
        si: the value [SI]
        kind: what it measures
        unit_set: one of ``UNIT_SETS``
        sign: write a plus before positive values

    >>> show(0.0254, Kind.LENGTH, "inch")
    '1.000 in'
    >>> show(-1e-9, Kind.ANGLE)
    '0.00 deg'

    """
    unit = unit_of(kind, unit_set)
    return _with_decimals(si / unit.factor, unit, unit.decimals, sign=sign)


def show_whole(si: float, kind: Kind, unit_set: str = "metric") -> str:
    """As `show`, with as many decimals more as a part's own step needs: a shim of 0.25 mm is none of 0.2 mm.

    Args:
        si: the value [SI]
        kind: what it measures
        unit_set: one of ``UNIT_SETS``

    >>> show_whole(0.00025, Kind.LENGTH)
    '0.25 mm'
    >>> show_whole(0.002, Kind.LENGTH, "inch")
    '0.079 in'

    """
    unit = unit_of(kind, unit_set)
    value = si / unit.factor
    decimals = next(
        (
            count
            for count in range(unit.decimals, unit.decimals + 3)
            if abs(round(value, count) - value) <= _NEAR * abs(value)
        ),
        unit.decimals + 3,
    )
    return _with_decimals(value, unit, decimals)


def show_apart(one: float, other: float, kind: Kind, unit_set: str = "metric") -> tuple[str, str]:
    """Two numbers as `show`, with up to three decimals more where they would else read as the same.

    Args:
        one: the first value [SI]
        other: the second value [SI]
        kind: what they measure
        unit_set: one of ``UNIT_SETS``

    >>> show_apart(0.01004, 0.01, Kind.LENGTH)
    ('10.04 mm', '10.00 mm')
    >>> show_apart(0.02, 0.01, Kind.LENGTH)
    ('20.0 mm', '10.0 mm')

    """
    unit = unit_of(kind, unit_set)
    values = [number / unit.factor for number in (one, other)]
    for more in range(4):
        told = [_with_decimals(value, unit, unit.decimals + more) for value in values]
        if told[0] != told[1]:
            break
    return told[0], told[1]


def _with_decimals(value: float, unit: Unit, decimals: int, *, sign: bool = False) -> str:
    rounded = round(value, decimals) + 0.0  # adding zero turns -0.0 into 0.0
    text = f"{rounded:{'+' if sign and rounded else ''}.{decimals}f}"
    return text if unit.symbol == "-" else f"{text} {unit.symbol}"


_NEAR = 0.01  # part of a step that its told number may be off


def column(name: str, kind: Kind, unit_set: str = "metric") -> str:
    """Name of a table column, with its unit: names at the door carry the unit.

    >>> column("wheel_rate", Kind.SPRING_RATE)
    'wheel_rate_n_per_mm'
    """
    suffix = unit_of(kind, unit_set).suffix
    return f"{name}_{suffix}" if suffix else name


def _shortened(written: str) -> str:
    return written if len(written) <= _LONGEST_SHOWN else f"{written[:_LONGEST_SHOWN]} …"


def _read_text(text: str, kind: Kind, default: Unit) -> float:
    """Sign, then one or more pairs of number and unit; the sign holds for all of them."""
    rest = text.replace("−", "-")
    sign = -1.0 if rest.startswith("-") else 1.0
    rest = rest[1:].lstrip() if rest.startswith(("+", "-")) else rest
    if re.search(r"\d\s*,\s*\d", rest):
        raise _not_understood(repr(text), kind)
    total, pairs = 0.0, 0
    while rest:
        number = _SIZE.match(rest)
        if number is None or (pairs and kind not in _COMPOUND):
            raise _not_understood(repr(text), kind)
        after = rest[number.end() :].lstrip()
        symbol, rest = _split_unit(after, compound=kind in _COMPOUND)
        if not symbol and (pairs or rest):
            raise _not_understood(repr(text), kind)
        factor = _factor(symbol, kind) if symbol else default.factor
        total += _size(number, text, kind) * factor
        pairs += 1
    if not pairs or not math.isfinite(total):
        raise _not_understood(repr(text), kind)
    return sign * total


def _split_unit(text: str, *, compound: bool) -> tuple[str, str]:
    """The unit at the start of the text, and what follows it."""
    if not text:
        return "", ""
    if not compound:
        return text, ""
    end = re.search(r"(?<=[^\W\d_])\s+(?=[\d.])|(?<=[°º'\"′″])\s*(?=[\d.])", text)
    return (text[: end.start()].strip(), text[end.end() :].strip()) if end else (text.strip(), "")


def _size(match: re.Match[str], text: str, kind: Kind) -> float:
    if match["number"]:
        return float(match["number"])
    if int(match["under"]) == 0:
        raise _not_understood(repr(text), kind)
    return int(match["whole"] or 0) + int(match["over"]) / int(match["under"])


def _factor(symbol: str, kind: Kind) -> float:
    return _unit(kind, symbol).factor


def _plain(symbol: str) -> str:
    """One spelling for the many ways to write a product: ``lb-ft``, ``lb ft``, ``lb*ft``, ``lb.ft``."""
    symbol = symbol.strip()
    if symbol == "-":
        return symbol
    return re.sub(r"(?: ?[*⋅.\-·] ?| )(?=[^\W\d_])", "·", re.sub(r" ?/ ?", "/", symbol))


@cache
def _spellings(kind: Kind) -> dict[str, Unit]:
    return {_plain(name): unit for unit in table.UNITS[kind] for name in (unit.symbol, *unit.spellings)}


def _unit(kind: Kind, symbol: str) -> Unit:
    try:
        return _spellings(kind)[_plain(symbol)]
    except KeyError:
        raise _unknown_unit(symbol, kind) from None


def _accepted(kind: Kind) -> str:
    return table.EXAMPLES.get(kind) or ", ".join(f'"1 {unit.symbol}"' for unit in table.UNITS[kind][:3])


def _a(kind: Kind) -> str:
    return f"{'an' if str(kind)[0] in 'aeiou' else 'a'} {kind}"


def _unknown_unit(symbol: str, kind: Kind) -> InputError:
    symbols = ", ".join(unit.symbol for unit in table.UNITS[kind])
    folded = {name.casefold(): name for name in _spellings(kind)}
    near = [
        near for near in get_close_matches(symbol.casefold(), folded, cutoff=0.7) if ("/" in near) == ("/" in symbol)
    ]
    hint = f'Did you mean "{folded[near[0]]}"?' if near else f"Write it as {_accepted(kind)}."
    return InputError(
        f"{_a(kind).capitalize()} cannot be read in this unit",
        found=repr(symbol),
        allowed=symbols,
        todo=hint,
    )


def _not_understood(found: str, kind: Kind) -> InputError:
    comma = re.search(r"\d\s*,\s*\d", found)
    todo = "Write decimals with a point, not a comma." if comma else "Give a number, or a number and its unit."
    return InputError(f"This is not {_a(kind)}", found=found, allowed=_accepted(kind), todo=todo)
