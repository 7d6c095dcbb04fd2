"""Camber, toe and caster that a sentence asks for: of which axle, how much, and which way."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import radians
from typing import Protocol

from jounce.asked.places import NAMED_AXLE
from jounce.conventions.units import MM
from jounce.job.document import WheelAngle

__all__ = ["AngleAmount", "SaidAngle", "angles_in"]


class AngleAmount(Protocol):
    """An amount of a sentence: degrees, a bare number or a length; where it begins."""

    @property
    def value(self) -> float:
        """Degrees, the bare number, or the length [m]."""

    @property
    def start(self) -> int:
        """Character where it begins."""


@dataclass(frozen=True, slots=True)
class SaidAngle:
    """An angle of the wheels that is wanted.

    Attributes:
        axle: "front" or "rear"; "front" where nothing is said
        name: which angle
        value: at each wheel, in the sign of the job file; of a change by how much [rad]; of toe that was told as a length,
            that of one wheel across its rim [m]
        more: whether it is told as a change of what is there
        across_rim: whether it was told as a length
        start: character where the amount begins

    """

    axle: str
    name: WheelAngle
    value: float
    more: bool = False
    across_rim: bool = False
    start: int = -1


_NAMES: tuple[tuple[WheelAngle, str], ...] = (
    ("camber", r"camber\w*|(?:rad|vorder\w*|negativ)?sturz"),
    ("caster", r"cast[eo]r\w*|nachlauf"),
    ("toe", r"toe(?:s|d|ing)?(?: in| out)?|vorspur|nachspur|spur"),
)
_NAMED = re.compile("|".join(rf"\b(?P<{name}>{words})\b" for name, words in _NAMES))
_MOST = {"camber": 8.0, "toe": 3.0, "caster": 14.0}
"""What is more is no such angle, by what a job file takes [deg]."""
_MOST_ACROSS = 0.025
"""What is more is no toe across a rim [m]."""
_ACROSS_FROM = 0.8
"""A bare number of toe from here on is millimetres across the rim: nobody sets so many degrees at a wheel."""
_EACH = re.compile(r"\b(?:each|per (?:side|wheel)|a side|a wheel|(?:je|pro) (?:rad|seite)|single wheel|einzel\w*)\b")
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


def angles_in(
    said: str, degrees: Sequence[AngleAmount], bare: Sequence[AngleAmount], lengths: Sequence[AngleAmount] = ()
) -> tuple[SaidAngle, ...]:
    """Angles that are wanted; one that the car is told to have is none.

    Camber is taken as negative where its sign is not said, as it is spoken of in the trade; toe as a length is that of both
    wheels together where it is not said to be of each, which is common practice.

    Args:
        said: the sentence as it was spelled out
        degrees: amounts in degrees
        bare: numbers without a unit, which are angles beside an angle's name alone
        lengths: amounts of length, which beside toe are it, across the rim
    """
    found: dict[tuple[str, str], SaidAngle] = {}
    by_order = _in_turn(said, [*degrees, *bare])
    for amount, near in (
        *((one, _NEAR) for one in degrees),
        *((one, _BESIDE) for one in bare),
        *((one, _BESIDE) for one in lengths),
    ):
        name = by_order.get(amount.start) or _name_of(said, amount, near) or _camber_by_its_sign(said, amount, degrees)
        if name is None or not _is_wished(said, amount):
            continue
        across = _across(name, amount, amount in bare, amount in lengths)
        if (amount in lengths and across is None) or (across is None and abs(amount.value) > _MOST[name]):
            continue
        for one in _angles(said, amount, name, across):
            found[one.axle, one.name] = one
    return tuple(found.values())


def _across(name: str, amount: AngleAmount, is_bare: bool, is_length: bool) -> float | None:  # noqa: FBT001  # two marks of one amount
    """Toe across the rim [m]; None where the amount is no length."""
    size = amount.value * MM if is_bare and abs(amount.value) >= _ACROSS_FROM else amount.value
    return size if name == "toe" and (is_length or size != amount.value) and abs(size) <= _MOST_ACROSS else None


def _in_turn(said: str, amounts: Sequence[AngleAmount]) -> Mapping[int, WheelAngle]:
    """The name of each amount where several names and as many numbers follow each other in turn: "camber 1.5 caster 3"."""
    names = list(_NAMED.finditer(said))
    if len(names) < 2:  # one is no turn
        return {}
    first, last = names[0].start() - _BESIDE, names[-1].end() + _BESIDE
    within = sorted((one for one in amounts if first <= one.start <= last), key=lambda one: one.start)
    if len(within) != len(names):
        return {}
    pairs = list(zip(names, within, strict=True))
    before = [name.start() < one.start for name, one in pairs]
    order = sorted([one.start() for one in names] + [one.start for one in within])
    in_turn = [at for name, one in pairs for at in sorted((name.start(), one.start))]
    return {one.start: _called(name) for name, one in pairs} if order == in_turn and len(set(before)) == 1 else {}


def _camber_by_its_sign(said: str, amount: AngleAmount, degrees: Sequence[AngleAmount]) -> WheelAngle | None:
    """Camber where negative degrees are told and nothing says of what: no other angle of a wheel is spoken of so."""
    alone = (
        amount in degrees and amount.value < 0 and not _NAMED.search(said) and not _OF_OTHERS.match(said, amount.start)
    )
    return "camber" if alone else None


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


def _angles(said: str, amount: AngleAmount, name: WheelAngle, across: float | None) -> Iterator[SaidAngle]:
    start = max(0, amount.start - _NEAR)
    around = said[start : amount.start + _NEAR]
    size = radians(abs(amount.value)) if across is None else abs(across)
    more, less = _MORE.search(around), _LESS.search(around)
    if name == "camber":
        positive = _POSITIVE.search(around) and not more
        value = size if positive else -size
    elif name == "toe":
        value = -size if amount.value < 0 or _OUT.search(around) else size
        value /= 2 if (_TOTAL.search(said) if across is None else not _EACH.search(said)) else 1
    else:
        value = -size if amount.value < 0 else size
    for axle in _axles(said, amount):
        told = -value if less else value
        yield SaidAngle(axle, name, told, bool(more or less), across is not None, amount.start)


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
