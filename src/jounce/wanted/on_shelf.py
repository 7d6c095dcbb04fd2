"""What a shelf has for a part that is sought: the nearest less and the nearest more, each tried on the whole car."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import TypeVar

from jounce.car.mechanics.model import AxleName
from jounce.conventions.errors import JounceError
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.wanted.seek import Figure, PartNumber, PartWish, ShelfTry
from jounce.wanted.stood import Stood, stand

__all__ = ["ShelfFit", "nearest", "parts_for"]

AnyPart = TypeVar("AnyPart", bound=Part)
_WORTH = 0.5  # of what a single part misses, that several together may miss at most [-]
_SAME = 1e-9  # of what is wanted: what counts as just that [-]


@dataclass(frozen=True, slots=True)
class ShelfFit:
    """A part of the shelf on the car.

    Attributes:
        tried: the part
        stood: the car at rest with it
        value: how much it then has of what is wanted [SI]

    """

    tried: ShelfTry
    stood: Stood
    value: float

    @property
    def figures(self) -> Sequence[Figure]:
        """What else the part has, with what depends on how the car stands with it."""
        return [*self.tried.more, *self.tried.at_rest(self.stood)]


def parts_for(shelf: Shelf, kind: type[AnyPart], axle: AxleName) -> Iterator[AnyPart]:
    """The parts of one kind that are meant for an axle; whether they fit is another question.

    Args:
        shelf: all parts
        kind: class of the parts
        axle: front or rear
    """
    return (part for part in shelf.of_kind(kind) if part.place in (axle, "either"))


def nearest(wish: PartWish, part: PartNumber, shelf: Shelf, value: float | None) -> Sequence[ShelfFit]:
    """Of the shelf's parts the one that gives the nearest less of what is wanted and the one that gives the nearest more.

    Several parts together stand for a single one where they take away half or more of what it misses.

    Args:
        wish: what is wanted
        part: what is sought
        shelf: all parts
        value: the number that was found; None where there is none [SI]
    """
    less: ShelfFit | None = None
    more: ShelfFit | None = None
    for tried in part.on_shelf(shelf, value):
        try:
            stood = stand(tried.fitted())
            has = wish.read(stood)
        except JounceError:
            continue
        if not isfinite(has):
            continue
        fit = ShelfFit(tried, stood, has)
        if has <= wish.wanted + _SAME * abs(wish.wanted):
            less = fit if less is None or _nearer(fit, less, wish.wanted) else less
        else:
            more = fit if more is None or _nearer(fit, more, wish.wanted) else more
    return [fit for fit in (less, more) if fit is not None]


def _nearer(one: ShelfFit, other: ShelfFit, wanted: float) -> bool:
    """Whether a part comes nearer than another; several together have to be worth their work."""
    misses, before = abs(one.value - wanted), abs(other.value - wanted)
    return misses < before * (_WORTH if one.tried.together and not other.tried.together else 1.0)
