"""How far out wheels are wanted: the offset of others, spacers behind them, or so much further out."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from jounce.conventions.units import MM

__all__ = ["LengthAmount", "WheelsApart", "wheels_apart"]


class LengthAmount(Protocol):
    """An amount of a sentence: a length [m] where its unit was said, else a bare number, which is millimetres here."""

    @property
    def value(self) -> float:
        """Length, or the bare number."""

    @property
    def start(self) -> int:
        """Character where it begins."""

    @property
    def unit(self) -> str:
        """What it counts: "length" where a unit of length was said."""


@dataclass(frozen=True, slots=True)
class WheelsApart:
    """Where a sentence puts the wheels.

    Attributes:
        offset: of other wheels; None where none is named [m]
        spacer: thickness of spacers; None where none is named [m]
        further_out: by how much further out, told without either; None where it is not [m]
        used: characters at which the amounts begin that tell it

    """

    offset: float | None = None
    spacer: float | None = None
    further_out: float | None = None
    used: frozenset[int] = frozenset()


_NAME = r"(?:et|offset|einpresstiefe)"
_OFFSET = re.compile(rf"\b{_NAME}(?: change)?(?: of| from| von)? ?(?P<number>-?\d{{1,2}})(?![\d.,]*\d)")
_TO = re.compile(rf"(?: ?mm)?(?: to| auf| ->| zu) (?:{_NAME} ?)?(?P<number>-?\d{{1,2}})(?![\d.,]*\d)")
_OLD = re.compile(r"\b(?:instead of|than|statt|anstatt|anstelle von|als|gegenueber)(?: (?:my|the|meinen?|der|die))? $")
_SPACERS = r"(?:(?:wheel )?spacers?|(?:wheel )?adapters?|spurplatten?|spurverbreiterung(?:en)?|distanzscheiben?)"
_UNIT = r"(?: ?(?:mm|mil|millimet\w*|cm|centimet\w*|zentimet\w*|inch|zoll|\"|er))?"
_SPACER = re.compile(
    rf"(?<![\d.,])(?P<before>\d{{1,2}}(?:[.,]\d+)?){_UNIT} (?:thick )?{_SPACERS}\b"
    rf"|\b{_SPACERS} (?:of |von |mit )?(?P<behind>\d{{1,2}}(?:[.,]\d+)?)(?! ?(?:lower|tiefer))"
)
_OUT = re.compile(
    rf"(?<![\d.,])(?P<number>\d{{1,2}}(?:[.,]\d+)?){_UNIT} (?:a side |per side |pro seite |je seite )?"
    r"(?:(?:further|farther|more|weiter|mehr) (?:out|outboard|outside|outwards?|raus|nach aussen|heraus|draussen)"
    r"|wider|breiter|more poke|outboard)\b"
)


def wheels_apart(said: str, lengths: Sequence[LengthAmount]) -> WheelsApart:
    """Where a sentence puts the wheels.

    Args:
        said: the sentence as it was spelled out
        lengths: its amounts that are lengths [m], or bare numbers [mm]

    >>> wheels_apart("et 35 auf et 20", ()).offset
    0.02
    """
    spacer = _SPACER.search(said)
    out = None if spacer is not None else _OUT.search(said)
    thick, far = (_told(match, lengths) for match in (spacer, out))
    used = frozenset(one.start for one in (thick, far) if one is not None)
    return WheelsApart(_offset(said), _metres(thick), _metres(far), used)


def _offset(said: str) -> float | None:
    """The offset of the wheels that are wanted: the one behind "to", else the first that is not told as the old one [m]."""
    found = list(_OFFSET.finditer(said))
    for one in found:
        to = _TO.match(said, one.end())
        if to is not None:
            return float(to["number"]) * MM
    new = [one for one in found if not _OLD.search(said[: one.start()])]
    return float((new or found)[0]["number"]) * MM if found else None


def _told(match: re.Match[str] | None, lengths: Sequence[LengthAmount]) -> LengthAmount | None:
    if match is None:
        return None
    at = next(match.start(name) for name, text in match.groupdict().items() if text)
    return next((one for one in lengths if one.start == at), None)


def _metres(one: LengthAmount | None) -> float | None:
    return None if one is None else one.value * (1.0 if one.unit == "length" else MM)
