"""Parts of one, ranges and minutes of arc written out as decimals: "an inch and a half", "3/4 inch", "2-3 cm", "1°30'"."""

from __future__ import annotations

import re
from fractions import Fraction

__all__ = ["as_decimals", "largest_of_ranges"]

_MEASURE = (
    r"(?:\"|inch(?:es)?\b|zoll\b|in\b|turns?\b|umdrehung\w*|revolutions?\b|mm\b|millimet\w*|cm\b|zentimet\w*|centimet\w*|"
    r"teeth\b|tooth\b|zaehne\w*|zahn\b|deg\w*|grad\b|kg\b|kilos?\b)"
)
_ONE = r"(?:an?|one|ein(?:e[nrm]?)?)"
_PART = r"(?:0\.5|half|quarter|3 quarters|3 quarter|viertel|3 viertel|dreiviertel|drittel|third)"
_WORTH = {
    "0.5": "1/2", "half": "1/2", "quarter": "1/4", "viertel": "1/4", "3 quarters": "3/4", "3 quarter": "3/4",
    "3 viertel": "3/4", "dreiviertel": "3/4", "drittel": "1/3", "third": "1/3",
}  # fmt: skip
_WHOLE = rf"(?:\d+|{_ONE})"
_SLASHED = r"(?:1[135]|[1-9])/(?:16|[2-8])"
_BEHIND = re.compile(rf"(?:(?<![\d.,/\w])({_WHOLE}) ?|\b)({_MEASURE}) (?:and|und|&) (?:{_ONE} )?({_PART})(?![\w.])")
_BEFORE = re.compile(
    rf"(?<![\d.,/])(\d+)(?: (?:and|und|&) (?:{_ONE} )?| (?:{_ONE} )?)({_PART})(?: of)?(?: {_ONE})?(?= ?{_MEASURE})"
)
_OF_NOTHING = re.compile(rf"(?<![\d.,/\w])(\d+) (?:and|und|&) (?:{_ONE} )?(0\.5|quarter)(?![\w.])")
_ALONE = re.compile(rf"(?<![\d.,/\w])(?:{_ONE} )?({_PART})(?: of)?(?: {_ONE})?(?= {_MEASURE})")
_FRACTION = re.compile(
    rf"(?<![\d.,/])(?:(\d+)(?: | ?- ?| and | und ))?({_SLASHED})(?![\d/])(?:(?: of)?(?: {_ONE})?(?= ?{_MEASURE}))"
)
_SPOKEN_POINT = re.compile(r"(?<![\d.,\w])(\d+|one|eins?) (?:point|komma) (\d)(?!\d|[.,]\d)")
_POINT = re.compile(r"(?<![\d\w.,])\.(?=\d)")
_ARC = re.compile(r"(?<![\d.,])(\d+) ?(?:deg(?:rees?)?|grad) ?(\d{1,2}) ?(?:'|min\w*)")
_MINUTES = re.compile(r"(?<![\d.,])(\d{1,3}) ?(?:'|(?:arc ?)?min(?:utes?|uten)?\b)")
_OF_ANGLE = re.compile(r"\b(?:toe|camber|caster|sturz|vorspur|spur|nachlauf|angle|winkel)\w*")
_NUMBER = r"\d+(?:[.,]\d+)?"
_RANGE = re.compile(
    rf"(?<![\w.,/+-])(?<!from )(?<!von )({_NUMBER})( ?{_MEASURE})?(?: ?- ?| to | bis | or | oder )({_NUMBER})(?![\d/.,]*\d)"
    rf"(?= ?(?:{_MEASURE}|lower|tiefer|down|runter|hoeher|higher|drop))"
)
_BETWEEN = re.compile(rf"\b(?:between|zwischen) ({_NUMBER})( ?{_MEASURE})? (?:and|und) ({_NUMBER})")


def as_decimals(said: str) -> str:
    """A sentence with parts of one as decimal numbers, and minutes of arc as degrees where an angle is spoken of.

    Args:
        said: a sentence as `jounce.asked.wording.spelled` leaves it

    >>> as_decimals("0.5 an inch lower, 1 1/2 inch higher, an inch and a quarter")
    '0.5 inch lower, 1.5 inch higher, 1.25 inch'
    >>> as_decimals("inch and a half, 2 and 0.5 negative")
    '1.5 inch, 2.5 negative'
    >>> as_decimals("minus eins komma 5 deg")
    'minus 1.5 deg'
    >>> as_decimals("camber -1 deg 30'")
    'camber -1.5 deg'
    """
    said = _SPOKEN_POINT.sub(lambda found: f"{found[1] if found[1].isdigit() else 1}.{found[2]}", said)
    said = _POINT.sub("0.", said)
    said = _BEHIND.sub(lambda found: f"{_told(_whole(found[1]) + _worth(found[3]))} {found[2]}", said)
    said = _BEFORE.sub(lambda found: _told(int(found[1]) + _worth(found[2])), said)
    said = _OF_NOTHING.sub(lambda found: _told(int(found[1]) + _worth(found[2])), said)
    said = _FRACTION.sub(lambda found: _told(int(found[1] or 0) + Fraction(found[2])), said)
    said = _ALONE.sub(lambda found: _told(_worth(found[1])), said)
    said = _ARC.sub(lambda found: f"{_told(int(found[1]) + Fraction(int(found[2]), 60))} deg", said)
    if _OF_ANGLE.search(said):
        said = _MINUTES.sub(lambda found: f"{_told(Fraction(int(found[1]), 60))} deg", said)
    return said


def largest_of_ranges(said: str) -> tuple[str, tuple[str, ...]]:
    """A sentence with each range as its larger end, and the ranges as they were said.

    Args:
        said: a sentence whose parts of one are decimals

    >>> largest_of_ranges("2-3 cm lower")
    ('3 cm lower', ('2-3',))
    """
    ranges: list[str] = []

    def larger(found: re.Match[str]) -> str:
        low, high = (float(found[k].replace(",", ".")) for k in (1, 3))
        if low >= high:
            return found.group()
        ranges.append(found.group().strip())
        return found[3]

    for pattern in (_BETWEEN, _RANGE):
        said = pattern.sub(larger, said)
    return said, tuple(ranges)


def _worth(word: str) -> Fraction:
    return Fraction(_WORTH[word])


def _whole(word: str | None) -> int:
    return int(word) if word and word.isdigit() else 1


def _told(number: Fraction) -> str:
    return f"{float(number):.6g}"
