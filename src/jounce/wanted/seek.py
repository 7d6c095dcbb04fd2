"""The number of a part that gives what is wanted: a root between two tries, every try the whole car at rest with it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from math import isfinite, nan

import scipy  # its rooms open on use

from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.errors import Impossible, JounceError
from jounce.conventions.units import Kind
from jounce.shelf.shelf import Shelf
from jounce.wanted.stood import Stood, stand

__all__ = ["Figure", "NotNeeded", "PartNumber", "PartWish", "ShelfTry", "SoughtNumber", "sought"]

_STEPS = 80
_GROWTH = 1.5
_SMALLEST = 1e-4  # of a part's step: what is left of a step that leads where the car cannot stand [-]
_EXACT = 1e-9  # of a part's step [-]
_DIFFERENCE = 0.02  # of a part's step, each way, for the slope [-]


class NotNeeded(Impossible):
    """The car has what is wanted without such a part."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number that is told with an answer; ``value`` is None where it is not known [SI]; teeth and turns are counted."""

    name: str
    kind: Kind
    value: float | None
    counted: bool = False


@dataclass(frozen=True, slots=True)
class PartWish:
    """What is wanted of the car.

    Attributes:
        name: what it is called
        kind: what it measures
        wanted: how much is wanted [SI]
        read: how much a car at rest has of it; not a number where that cannot be told [SI]
        moves: what is said of a part that gives more of it, and of one that gives less; "{}" is by how much

    """

    name: str
    kind: Kind
    wanted: float
    read: Callable[[Stood], float]
    moves: tuple[str, str]


def _nothing_at_rest(_: Stood) -> Sequence[Figure]:
    return ()


@dataclass(frozen=True, slots=True)
class ShelfTry:
    """A part of a shelf to be tried.

    ``number`` is what of it is sought [SI], ``more`` what else it has, ``at_rest`` what of it depends on how the car then
    stands; ``fitted`` gives the car with it. ``together`` is True of several parts, told where no single one is as near.
    """

    code: str
    number: float
    fitted: Callable[[], RoadCar]
    more: Sequence[Figure] = ()
    at_rest: Callable[[Stood], Sequence[Figure]] = field(default=_nothing_at_rest)
    together: bool = False


def _no_shelf(_: Shelf, __: float | None) -> Iterable[ShelfTry]:
    return ()


def _nothing_said(_: float, __: str) -> Sequence[str]:
    return ()


def _nothing_more(_: float, __: Stood) -> Sequence[Figure]:
    return ()


@dataclass(frozen=True, slots=True)
class PartNumber:
    """The number of a part that is sought.

    Attributes:
        name: what it is called
        kind: what it measures
        today: what it is now; None where that is not known [SI]
        start: where it is sought from; today's as a rule [SI]
        low: least that it may be [SI]
        high: most that it may be [SI]
        step: a step of it that a workshop knows: a millimetre, a degree [SI]
        grows: what is said of one step of it; "{}" is the step
        fitted: the car with the part in
        also: what else such a part has, the car at rest with it
        bare: what is said where nothing gives the wish, with the car without any such part; None where there is none
        says: sentences on a number that was found, in a unit set
        ends: what the least and the most are, where they are this very part's: "the shortest", "the longest"
        on_shelf: what a shelf has of it, with the number that was found where one was
        wider: ends between which it is sought again to tell what it would take; None where there are no wider ones [SI]

    """

    name: str
    kind: Kind
    today: float | None
    start: float
    low: float
    high: float
    step: float
    grows: str
    fitted: Callable[[float], RoadCar]
    also: Callable[[float, Stood], Sequence[Figure]] = field(default=_nothing_more)
    bare: tuple[str, Callable[[], RoadCar]] | None = None
    says: Callable[[float, str], Sequence[str]] = field(default=_nothing_said)
    ends: tuple[str, str] | None = None
    wider: tuple[float, float] | None = None
    on_shelf: Callable[[Shelf, float | None], Iterable[ShelfTry]] = field(default=_no_shelf)


@dataclass(frozen=True, slots=True)
class SoughtNumber:
    """What came out.

    Attributes:
        value: the part's number; None where none gives what is wanted [SI]
        stood: the car at rest with it; None likewise
        slope: change of what is wanted per unit of the part's number, whole cars put to rest beside it [SI]
        tried: the part's number and what the car then has at both ends of what was tried; where none was found [SI]
        reason: why it was sought no further; empty where the part's own ends ended it

    """

    value: float | None
    stood: Stood | None
    slope: float = nan
    tried: tuple[tuple[float, float], ...] = ()
    reason: str = ""


def sought(wish: PartWish, part: PartNumber) -> SoughtNumber:
    """Seek the number.

    Args:
        wish: what is wanted
        part: what is to give it

    Raises:
        Impossible: the car does not stand with the part as it is sought from
    """
    return _Seeker(wish, part).found()


class _Seeker:
    """One search, with the reason why a try did not stand."""

    def __init__(self, wish: PartWish, part: PartNumber) -> None:
        self.wish, self.part = wish, part
        self.reason = ""

    def found(self) -> SoughtNumber:
        part = self.part
        start = min(max(part.start, part.low), part.high)
        miss = self._miss(start)
        if not isfinite(miss):
            raise Impossible(self.reason or f"It cannot be told what {part.name} gives.")
        if miss == 0:
            return self._told(start)
        beside = start + part.step if start + part.step <= part.high else start - part.step
        rises = (self._miss(beside) - miss) * (beside - start)
        towards = -1.0 if miss * rises > 0 else 1.0
        ends, reasons = [], []
        for way in (towards, -towards):
            self.reason = ""
            pair, end = self._followed(start, miss, way)
            if pair is not None:
                root = scipy.optimize.brentq(self._certain, *pair, xtol=_EXACT * part.step, rtol=1e-14)
                return self._told(float(root))
            ends.append((end[0], end[1] + self.wish.wanted))
            reasons.append(self.reason)
        # The end towards which it goes tells why.
        return SoughtNumber(None, None, tried=tuple(sorted(ends)), reason=reasons[0])

    def _followed(
        self, start: float, miss: float, way: float
    ) -> tuple[tuple[float, float] | None, tuple[float, float]]:
        """Steps one way until the wish lies between two, or the part or the car ends."""
        part = self.part
        at, here, step = start, miss, part.step
        for _ in range(_STEPS):
            then = min(max(at + way * step, part.low), part.high)
            if then == at:
                break
            there = self._miss(then)
            if not isfinite(there):
                step /= 4
                if step < _SMALLEST * part.step:
                    break
                continue
            if here * there <= 0:
                return (at, then), (then, there)
            at, here, step = then, there, step * _GROWTH
            if at in (part.low, part.high):
                self.reason = ""
        return None, (at, here)

    def _told(self, value: float) -> SoughtNumber:
        stood = stand(self.part.fitted(value))
        return SoughtNumber(value, stood, self._slope(value))

    def _slope(self, value: float) -> float:
        part, step = self.part, _DIFFERENCE * self.part.step
        low, high = max(value - step, part.low), min(value + step, part.high)
        return (self._miss(high) - self._miss(low)) / (high - low)

    def _miss(self, value: float) -> float:
        """How far off the wish the car is with the part; not a number where it does not stand."""
        try:
            return self._certain(value)
        except JounceError as problem:
            self.reason = str(problem)
            return nan

    def _certain(self, value: float) -> float:
        return self.wish.read(stand(self.part.fitted(value))) - self.wish.wanted
