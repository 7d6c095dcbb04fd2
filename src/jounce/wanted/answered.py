"""A wish answered: the part and its number with the car at rest, or why nothing gives it, in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite

from jounce.conventions.errors import JounceError
from jounce.conventions.units import show
from jounce.job.remark import AnswerRemark, AnswerRemarkKind
from jounce.shelf.shelf import Shelf
from jounce.wanted.on_shelf import ShelfFit, nearest
from jounce.wanted.seek import NotNeeded, PartNumber, PartWish, SoughtNumber, sought
from jounce.wanted.stood import stand
from jounce.wanted.wishes import WishedPart

__all__ = ["WishAnswer", "answered"]


@dataclass(frozen=True, slots=True)
class WishAnswer:
    """What came of a wish.

    Attributes:
        wish: what is wanted
        way: by what it is given, where there are several ways
        part: the part; None where the car has none such
        found: the number with the car at rest; None where there is none
        cannot: why nothing gives it, or that nothing is needed; empty where something gives it
        shelf: parts of the shelf that give the nearest less and the nearest more

    """

    wish: PartWish
    way: str
    part: PartNumber | None
    found: SoughtNumber | None
    cannot: str = ""
    shelf: Sequence[ShelfFit] = ()


def answered(wished: WishedPart, units: str, shelf: Shelf) -> WishAnswer:
    """Seek the part.

    Args:
        wished: the wish and its part
        units: unit set of what is said
        shelf: parts to be tried beside it; none of an empty one
    """
    wish = wished.wish
    try:
        part = wished.part()
    except NotNeeded as reason:
        return WishAnswer(wish, wished.way, None, None, str(reason))
    except JounceError as problem:
        return WishAnswer(wish, wished.way, None, None, _no(f"Cannot: {problem}"))
    try:
        found = sought(wish, part)
        if found.value is not None:
            return WishAnswer(wish, wished.way, part, found, shelf=nearest(wish, part, shelf, found.value))
        cannot = _why_not(wish, part, found, units)
    except JounceError as problem:
        cannot = str(problem)
    return WishAnswer(wish, wished.way, part, None, _no(f"Cannot: {cannot}"), nearest(wish, part, shelf, None))


def _no(why: str) -> AnswerRemark:
    return AnswerRemark(why, AnswerRemarkKind.CANNOT)


def _why_not(wish: PartWish, part: PartNumber, found: SoughtNumber, units: str) -> str:
    """What the part gives at its ends, what the car is without it, what it would take."""
    (least, at_least), (most, at_most) = found.tried[0], found.tried[-1]
    ends = [f"{show(at, part.kind, units)} {_named(part, at)}".strip() for at in (least, most)]
    values = [show(value, wish.kind, units) for value in (at_least, at_most)]
    said = [f"{part.name}, from {ends[0]} to {ends[1]}: {wish.name} {values[0]} to {values[1]}."]
    if part.bare is not None:
        words, car = part.bare
        bare = wish.read(stand(car()))
        if isfinite(bare):
            said.append(f"{words} {show(bare, wish.kind, units)}.")
    if found.reason:
        said.append(found.reason)
    if part.wider is not None:
        said += _it_would_take(wish, part, (least, most), units)
    return " ".join(said)


def _named(part: PartNumber, at: float) -> str:
    """What an end is, where it is this very part's."""
    if part.ends is None or at not in (part.low, part.high):
        return ""
    return f"({part.ends[0] if at == part.low else part.ends[1]})"


def _it_would_take(wish: PartWish, part: PartNumber, own: tuple[float, float], units: str) -> list[str]:
    low, high = part.wider or own
    try:
        found = sought(wish, replace(part, low=low, high=high))
    except JounceError:
        return []
    if found.value is None:
        return []
    beyond = found.value - part.high if found.value > part.high else part.low - found.value
    past = "more than the most" if found.value > part.high else "less than the least"
    return [
        f"It would take {show(found.value, part.kind, units)}, {show(beyond, part.kind, units)} {past} that this one has."
    ]
