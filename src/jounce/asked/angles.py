"""Camber, toe and caster that a sentence asks for: of which axle, how much, and which way."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import radians
from typing import Protocol

from jounce.asked.places import NAMED_AXLE
from jounce.job.document import WheelAngle

__all__ = ["AngleAmount", "SaidAngle", "angles_in"]


class AngleAmount(Protocol):
    """An amount of a sentence: degrees, or a bare number; where it begins."""

    @property
    def value(self) -> float:
        """Degrees, or the bare number."""

    @property
    def start(self) -> int:
        """Character where it begins."""


@dataclass(frozen=True, slots=True)
class SaidAngle:
    """An angle of the wheels that is wanted.

    Attributes:
        axle: "front" or "rear"; "front" where nothing is said
        name: which angle
        value: at each wheel, in the sign of the job file; of a change by how much [rad]
        more: whether it is told as a change of what is there

    """

    axle: str
    name: WheelAngle
    value: float
    more: bool = False


_NAMES: tuple[tuple[WheelAngle, str], ...] = (
    ("camber", r"camber\w*|(?:rad|vorder\w*|negativ)?sturz"),
    ("caster", r"cast[eo]r\w*|nachlauf"),
    ("toe", r"toe(?:s|d|ing)?(?: in| out)?|vorspur|nachspur|spur"),
)
_NAMED = re.compile("|".join(rf"\b(?P<{name}>{words})\b" for name, words in _NAMES))
_MOST = {"camber": 8.0, "toe": 3.0, "caster": 14.0}
"""What is more is no such angle, by what a job file takes [deg]."""
_NEAR, _BESIDE = 40, 16
"""So many characters may stand between degrees, or a bare number, and the angle's name."""
_OF_OTHERS = re.compile(
    r"[\d.,]+ ?(?:deg\w*|grad)? ?(?:of |more )?(?:roll|lean|steer\w*|lock|slip|wank\w*|lenk\w*|neig\w*|slope)"
)
_PARTED = re.compile(r"\d|[;?]")
_ALL_ROUND = re.compile(
    r"\b(?:all round|all four|rundum|both ends|both axles|an allen|alle vier|beide[nr]? achsen|"
    r"front and (?:rear|back)|vorne? und hinten)\b"
)
_PARTS_AXLES = re.compile(r"[,;]| and | und ")
_POSITIVE = re.compile(r"\b(?:positive[nrs]?|positiv|pos|plus)\b|(?<![\d\w])\+")
_OUT = re.compile(r"\b(?:toe(?:s|d|ing)? out|out|nachspur|negative[nrs]?|negativ)\b")
_TOTAL = re.compile(r"\b(?:total|overall|both wheels together|gesamt\w*|insgesamt|zusammen)\b")
_MORE = re.compile(r"\b(?:more|extra|additional|further|mehr|zusaetzlich\w*|weiter\w*)\b")
_LESS = re.compile(r"\b(?:less|weniger)\b")
_HAS = re.compile(
    r"\b(?:(?:it|he|she|car|i|we|they|wheels?|front|rear|er|sie|wagen|auto|ich|wir|raeder|vorne?|hinten) "
    r"(?:now |currently |already |jetzt |schon )?"
    r"(?:has|have|had|got|ve got|ve|s got|is|are|stands?|sits?|runs?|reads?|"
    r"hat|habe|haben|hatte|ist|sind|steht|faehrt|fahren?)"
    r"|(?:habe|hat|haben|fahre|steht) (?:ich|er|sie|wir|der wagen|das auto)"
    r"|measured|measures?|at the moment|currently|gemessen|messe|derzeit|momentan|zur zeit|aktuell|from|von)\b"
)
"""What tells how it is, where no word of `_WISHES` stands right before it or behind it."""
_WISHES = re.compile(
    r"\b(?:if|when|once|want\w*|need\w*|wish|can|could|should|would|will|set|dial\w*|go|going|give|make|to|with|wenn|falls|"
    r"will|moechte\w*|soll\w*|kann|koennte\w*|brauche\w*|einstell\w*|stelle\w*|auf|mit|bei|gib\w*)\b"
)


def angles_in(said: str, degrees: Sequence[AngleAmount], bare: Sequence[AngleAmount]) -> tuple[SaidAngle, ...]:
    """Angles that are wanted; one that the car is told to have is none.

    Camber is taken as negative where its sign is not said, as it is spoken of in the trade.

    Args:
        said: the sentence as it was spelled out
        degrees: amounts in degrees
        bare: numbers without a unit, which are angles beside an angle's name alone
    """
    found: dict[tuple[str, str], SaidAngle] = {}
    for amount, near in (*((one, _NEAR) for one in degrees), *((one, _BESIDE) for one in bare)):
        name = _name_of(said, amount, near)
        if name is None or not 0 <= abs(amount.value) <= _MOST[name] or not _is_wished(said, amount):
            continue
        for one in _angles(said, amount, name):
            found[one.axle, one.name] = one
    return tuple(found.values())


def _name_of(said: str, amount: AngleAmount, near: int) -> WheelAngle | None:
    """The angle whose name stands nearest to an amount, a name behind it rather than before it."""
    if _OF_OTHERS.match(said, amount.start):
        return None
    number = re.compile(r"[\d.,]*\d").match(said, amount.start)
    end = amount.start if number is None else number.end()
    best: tuple[int, WheelAngle] | None = None
    for match in _NAMED.finditer(said):
        behind = match.start() >= end
        far = match.start() - end if behind else amount.start - match.end()
        between = said[end : match.start()] if behind else said[match.end() : amount.start]
        if far < 0 or far > near or (near == _BESIDE and _PARTED.search(between)):
            continue
        if best is None or far + (0 if behind else 2) < best[0]:
            best = (far + (0 if behind else 2), _called(match))
    return None if best is None else best[1]


def _called(match: re.Match[str]) -> WheelAngle:
    return next(name for name, _ in _NAMES if match[name])


def _is_wished(said: str, amount: AngleAmount) -> bool:
    """Whether it is wanted; without a word for either it is."""
    before = said[: amount.start]
    has = max((one.start() for one in _HAS.finditer(before)), default=-1)
    wish = max((one.end() for one in _WISHES.finditer(before)), default=-1)
    return has < 0 or (wish > 0 and has <= wish + 1)  # "can it have", "if I run": a wish right before


def _angles(said: str, amount: AngleAmount, name: WheelAngle) -> Iterator[SaidAngle]:
    start = max(0, amount.start - _NEAR)
    around = said[start : amount.start + _NEAR]
    size = radians(abs(amount.value))
    more, less = _MORE.search(around), _LESS.search(around)
    if name == "camber":
        positive = _POSITIVE.search(around) and not more
        value = size if positive else -size
    elif name == "toe":
        value = -size if amount.value < 0 or _OUT.search(around) else size
        value /= 2 if _TOTAL.search(said) else 1
    else:
        value = -size if amount.value < 0 else size
    for axle in _axles(said, amount):
        yield SaidAngle(axle, name, -value if less else value, more=bool(more or less))


def _axles(said: str, amount: AngleAmount) -> tuple[str, ...]:
    """The axle named nearest to an amount; both where both are said of one, the front where none is."""
    far: dict[str, int] = {}
    for axle, words in NAMED_AXLE.items():
        for one in words.finditer(said):
            first, last = sorted((one.start(), amount.start))
            parted = _PARTS_AXLES.search(said, first, last) is not None
            far[axle] = min(far.get(axle, len(said) * 2), last - first + (_NEAR if parted else 0))
    if _ALL_ROUND.search(said):
        return ("front", "rear")
    return (min(far, key=far.__getitem__),) if far else ("front",)
