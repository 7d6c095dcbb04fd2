"""A reading: what was read of a car, where, and how well; and how places are told in words."""

from __future__ import annotations

from dataclasses import dataclass

from jounce.car.file.walk import point_words
from jounce.car.mechanics.model import AxleName
from jounce.conventions.certainty import DEVIATIONS_TYPED
from jounce.conventions.units import Kind, show
from jounce.fit.kinds import KINDS, ReadingKind
from jounce.layouts.naming import SideName

__all__ = ["GarageReading", "ReadingPlace"]


@dataclass(frozen=True, slots=True)
class ReadingPlace:
    """Where and in which state of the car something is read.

    Attributes:
        what: the word of its kind
        axle: which axle; None between two points, or of the whole car
        side: which wheel; None for an axle
        bump: how far both wheels of the axle are above where they stand, positive in bump [m]
        load: mass put on above the axle [kg]
        aboard: places of the car file with what is there besides what was weighed, None for the usual mass [kg]
        points: the two pivots, by their places in the car file

    """

    what: str
    axle: AxleName | None = None
    side: SideName | None = None
    bump: float = 0.0
    load: float = 0.0
    aboard: tuple[tuple[str, float | None], ...] = ()
    points: tuple[str, ...] = ()

    @property
    def kind(self) -> ReadingKind:
        """Its kind."""
        return KINDS[self.what]

    def words(self, units: str = "metric") -> str:
        """The place in words.

        Args:
            units: unit set

        >>> ReadingPlace("toe", "front", "left", bump=-0.04).words()
        'front left toe, wheels 40.0 mm down'
        """
        name = self.what.replace("-", " ")
        told = " ".join(filter(None, (self.axle or "", self.side or "", name)))
        if self.points:
            ends = [point.partition(".")[0] for point in self.points]
            apart = len({*ends}) > 1
            start, end = (point_words(point, axle=apart) for point in self.points)
            told = f"{'' if apart else f'{ends[0]} '}{name} from {start} to {end}"
        if self.bump:
            told += f", wheels {show(abs(self.bump), Kind.LENGTH, units)} {'up' if self.bump > 0 else 'down'}"
        if self.load:
            told += f", {show(self.load, Kind.MASS, units)} put on"
        for name, mass in self.aboard:
            told += f", {name.replace('_', ' ')}{'' if mass is None else f' {show(mass, Kind.MASS, units)}'} aboard"
        return told


@dataclass(frozen=True, slots=True)
class GarageReading:
    """What was read.

    Attributes:
        at: where
        value: what was read [SI]
        plus_minus: its ±, two standard deviations [SI]
        note: who read it, with what

    """

    at: ReadingPlace
    value: float
    plus_minus: float
    note: str = ""

    @property
    def deviation(self) -> float:
        """Its standard deviation [SI]."""
        return self.plus_minus / DEVIATIONS_TYPED
