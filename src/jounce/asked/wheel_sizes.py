"""Sizes of other tyres and rims in a sentence: "195/50 R15", "7x15 ET35", "on fourteens", "auf 14-Zoll"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace

from jounce.conventions.units import INCH
from jounce.elements.tyres.size import is_tyre_size

__all__ = ["SaidSize", "plurals_as_digits", "sizes_in"]


@dataclass(frozen=True, slots=True)
class SaidSize:
    """What is said of another tyre or rim; zero or empty where nothing is.

    Attributes:
        width: nominal section width of the tyre [mm, as it is written]
        aspect: section height as a share of it [%, as it is written]
        rim: nominal diameter of the rim [code, in inches]
        rim_width: width of the rim [m]
        strange: what looks like a size and is none

    """

    width: int = 0
    aspect: int = 0
    rim: int = 0
    rim_width: float = 0.0
    strange: str = ""

    def with_more(self, other: SaidSize) -> SaidSize:
        """This, with what only the other tells of the same wheel.

        Args:
            other: what is said besides
        """
        mine = {one.name: getattr(self, one.name) for one in fields(self)}
        return replace(other, **{name: value for name, value in mine.items() if value})


@dataclass(frozen=True, slots=True)
class _Mention:
    size: SaidSize
    start: int
    end: int
    places: tuple[str, ...]
    old: bool


_RIMS, _RIM_WIDTHS = (10, 24), (3.5, 13.0)
_TYRE = re.compile(
    r"(?<![\d.,/+-])(?P<width>[1-3]\d{2})"
    r"(?: ?/ ?(?P<aspect>\d{2,3})(?:s|er|ers)?"
    r"(?:(?:(?: ?[-/] ?| ?z?r ?-? ?| )(?P<rim>\d{2}))(?!\d|[.,]\d| ?(?:mm|cm|kg|n/|lower|tiefer)))?"
    r"|[ -](?P<aspect_2>\d{2})(?: ?z?r ?-? ?|[ -])(?P<rim_2>\d{2})(?![\d.,/])"
    r"| ?-? ?s?r ?-? ?(?P<rim_3>\d{2})(?![\d.,/]))"
    r"(?!\d)(?: zoll| inch\b| \d{2,3}[a-z]\b)?"
)
_RIM = re.compile(
    r"(?<![\d.,/+x-])(?P<first>\d{1,2}(?:[.,]\d{1,2})?) ?"
    r"(?:j{1,2} ?(?:x|by|mal|\*|×)? ?|(?:x|by|mal|\*|×) ?)(?P<second>\d{1,2}(?:[.,]5)?)(?![\d.,]*\d| ?(?:mm|cm|kg|n/))"
    r"(?: ?j\b)?(?: ?-? ?(?:inch(?:es)?|zoll|\"))?"
)
_WHEEL = r"(?:wheels?|rims?|alloys?|steel(?:s|ies)?|felgen?|raedern?|alus?|alufelgen|tyres?|tires?|reifen|zoeller\w*)"
_NOT_A_RIM = (
    r"(?![\d.,/x]*\d| ?(?:mm|cm|mil|%|kgs?|kilos?|n ?/|lbs?|hz|deg|grad|km|teeth|tooth|zaehne\w*|turns?|clicks?|people|"
    r"leute\w*|g\b|springs?|torsion|bars?|front bars?|roll bars?|anti|arb|er staeb|er dreh|staeb|dreh|stabi|"
    r"(?:(?:mm|vorn|hinten|front|rear|rundum) )?(?:lower|down|tiefer|runter|hoeher|higher|absenk\w*|senk\w*)))"
)
_ALONE = (
    re.compile(r"(?<![\d.,/x+-])(?P<rim>\d{2})(?:s|er|ern|ers)?[ -]?(?:inch(?:es|er)?|zoll(?:er\w*)?|zoell\w*|\")"
               r"(?! (?:long|springs?|coils?|bars?|lower|down|drop|tiefer|free|lang|spacers?|kurz))"),
    re.compile(rf"(?<![\d.,/x+-])(?P<rim>\d{{2}})(?:s|er|ern|ers)? ?(?:{_WHEEL})\b"),
    re.compile(
        r"(?:\b(?:on|onto|auf|fit|put|put on|running|mount)|(?:(?<=from \d\d )|(?<=from \d\ds ))to)"
        r"(?: (?:my|the|some|new|a set of|bigger|larger|meinen?|den|die))? "
        rf"(?P<rim>\d{{2}})(?:s|er|ern|ers)?\b{_NOT_A_RIM}"
    ),
    re.compile(r"(?<![\d.,/x+-])(?P<rim>1[2-8])(?:s|ern?)\b"),
    re.compile(r"(?<![a-z\d])r ?(?P<rim>\d{2})(?:s|er)?(?![\d.,/]|\w)"),
)  # fmt: skip
_OTHER_PART = re.compile(
    r"(?:s|er|ern|ers)? ?(?:mm )?(?:thick )?(?:front |rear |torsion |roll |anti |wheel )*"
    r"(?:bars?|springs?|staeb\w*|dreh\w*|stabi\w*|arbs?|federn?|spacers?|adapters?|spurplatten?|spurverbreiter\w*|distanzscheib\w*)\b"
)
"""What has its size told as a wheel's is."""
_BAR_BEFORE = re.compile(
    r"\b(?:bars?|arbs?|springs?|stabi\w*|stab|staebe\w*|dreh\w*|feder\w*)(?: (?:from|of|von|vorn|hinten|front|rear))*"
    r" \d{1,2}(?:[.,]\d)? ?(?:mm)? $"
)
"""A bar of so much, before it is told to how much it is changed."""
_OFFSET_BEFORE = re.compile(r"\b(?:et|offset|einpresstiefe)(?: of| from| von)? ?-?\d{1,2}(?: ?mm)? (?:(?:to|auf) )?$")
"""An offset, before it is told to how much it is changed."""
_DIGITS = {
    "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18,
    "zwölf": 12, "dreizehn": 13, "vierzehn": 14, "fünfzehn": 15, "fuenfzehn": 15, "sechzehn": 16, "siebzehn": 17,
    "achtzehn": 18,
}  # fmt: skip
_SPOKEN = re.compile(rf"\b({'|'.join(_DIGITS)})(s|ern?)\b", re.IGNORECASE)
_WIDTH_ALONE = re.compile(r"(?<![\d.,/x])(?P<width>\d{1,2}(?:[.,][05])?) ?j(?![a-z])")
_AXLE = {
    "front": r"(?:front|nose|vorn|vorne|vorder\w*)",
    "rear": r"(?:rear|back|hinten|hinter\w*|heck)",
}
_OLD = re.compile(
    r"\b(?:from|instead of|than|anstatt|statt|anstelle von|vs|versus|currently(?: on)?|standard|stock|original\w*|serie\w*|"
    r"factory|now on|today on|bisher|momentan|derzeit)(?: (?:the|my|den|die|meinen?|of|on|auf))? ?$|\bvon (?:den )?$"
)


def sizes_in(said: str) -> tuple[Mapping[str, SaidSize], str]:
    """The other wheels of each axle by its name, and the sentence with blanks in place of what told them.

    Where two sizes are told of one axle the first is taken; what it is changed *from* is not one of them.

    Args:
        said: a sentence as `jounce.asked.wording.spelled` leaves it

    >>> sizes_in("195/50 r15 at the rear")[0]
    {'rear': SaidSize(width=195, aspect=50, rim=15, rim_width=0.0, strange='')}
    >>> dict(sizes_in("will it rub 50 lower on 14")[0])["front"].rim
    14
    """
    found = sorted(_mentions(said), key=lambda one: one.start)
    wheels: dict[str, SaidSize] = {}
    for one in found:
        for axle in () if one.old else one.places:
            wheels[axle] = wheels[axle].with_more(one.size) if axle in wheels else one.size
    for one in found:
        said = said[: one.start] + " " * (one.end - one.start) + said[one.end :]
    return wheels, said


def plurals_as_digits(text: str) -> str:
    """A sentence in which wheels that are spoken of by their size alone are digits: "fifteens", "Vierzehner".

    Args:
        text: as it was typed

    >>> plurals_as_digits("will fifteens fit, oder Vierzehner")
    'will 15s fit, oder 14er'
    """
    return _SPOKEN.sub(lambda word: f"{_DIGITS[word[1].casefold()]}{word[2].casefold()}", text)


def _mentions(said: str) -> Iterator[_Mention]:
    """Each size that is told, what is taken by one no more read as another."""
    left = said
    for pattern, reading in (
        (_TYRE, _tyre),
        (_RIM, _rim),
        *((one, _rim_alone) for one in _ALONE),
        (_WIDTH_ALONE, _width),
    ):
        for match in pattern.finditer(left):
            size = reading(match)
            if size is None:
                continue
            start, end = match.start(), match.end()
            if reading is _rim_alone and (_BAR_BEFORE.search(said[:start]) or _OFFSET_BEFORE.search(said[:start])):
                continue
            if reading is _rim_alone:  # "on", "wheels" are words of the sentence still
                start = match.start("rim")
                end = max(match.end("rim"), start + len(re.match(r"[^ ]*", said[start:]).group()))  # type: ignore[union-attr]
            yield _Mention(size, start, end, _places(said, start, end), bool(_OLD.search(said[:start])))
            left = left[:start] + "_" * (end - start) + left[end:]


def _tyre(match: re.Match[str]) -> SaidSize | None:
    width = int(match["width"])
    aspect = int(match["aspect"] or match["aspect_2"] or 0)
    rim = int(match["rim"] or match["rim_2"] or match["rim_3"] or 0)
    if is_tyre_size(width, aspect or 80, rim or 15):
        return SaidSize(width, aspect, rim)
    return SaidSize(strange=match.group().strip()) if match["aspect"] and not match["aspect_2"] else None


def _rim(match: re.Match[str]) -> SaidSize | None:
    one, two = (float(match[name].replace(",", ".")) for name in ("first", "second"))
    width, rim = sorted((one, two))
    if _RIM_WIDTHS[0] <= width <= _RIM_WIDTHS[1] and _RIMS[0] <= rim <= _RIMS[1] and rim == int(rim) and width < rim:
        return SaidSize(rim=int(rim), rim_width=width * INCH)
    return None


def _rim_alone(match: re.Match[str]) -> SaidSize | None:
    rim = int(match["rim"])
    if _OTHER_PART.match(match.string, match.end("rim")):
        return None
    return SaidSize(rim=rim) if _RIMS[0] <= rim <= _RIMS[1] else None


def _width(match: re.Match[str]) -> SaidSize | None:
    width = float(match["width"].replace(",", "."))
    return SaidSize(rim_width=width * INCH) if _RIM_WIDTHS[0] <= width <= _RIM_WIDTHS[1] else None


def _places(said: str, start: int, end: int) -> tuple[str, ...]:
    """The axle that a size is told of: named right behind or right before it; both where none is."""
    for axle, words in _AXLE.items():
        behind = (
            rf"\s*(?:,\s*)?(?:(?:inch(?:es)?|zoll\w*|\")\s+)?(?:{_WHEEL}\s+)?"
            rf"(?:(?:at|on|in|for|an|auf)\s+)?(?:the\s+|der\s+)?{words}\b"
        )
        before = (
            rf"(?:^|[a-z:,]\s|\b(?:and|und|the|der|bei)\s)\s*{words}(?:\s+{_WHEEL})?"
            r"(?:\s*[:=]|\s+(?:on|with|auf|mit|in))?\s*$"
        )
        told = said[:start]
        if re.match(behind, said[end:]) or (re.search(before, told) and not _tells_height(told, words)):
            return (axle,)
    return tuple(_AXLE)


def _tells_height(told: str, words: str) -> bool:
    """Whether the axle named before a size belongs to a height that is named before it."""
    return bool(
        re.search(
            rf"(?:\d|mm|cm|lower|tiefer|down|drop|runter) (?:at |on |in )?(?:the |der )?{words}\s*(?:on|auf|with|mit)\s*$",
            told,
        )
    )
