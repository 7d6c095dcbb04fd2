"""What to read next on a car that was fitted: for one answer, for all of them, and what does not matter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.certainty import DEVIATIONS_SHOWN, DEVIATIONS_TYPED
from jounce.fit.answers import ROLLING
from jounce.fit.candidates import candidates
from jounce.fit.car_fit import CarFit
from jounce.fit.car_values import CarValues
from jounce.fit.least_squares import SeenValues
from jounce.fit.next_reading import Candidates, next_steps, variance_gains
from jounce.fit.readings import ReadingPlace

__all__ = ["NextReading", "Planning"]

_MATTERS = 0.01
"""A reading that takes less than this share from an answer's band does not matter to it [-]."""


@dataclass(frozen=True, slots=True)
class NextReading:
    """A reading to take: where, its ± as typed [SI], and the answer's band after it, nine of ten [SI]."""

    place: ReadingPlace
    plus_minus: float
    band: float


@dataclass(frozen=True)
class Planning:
    """What to read next.

    Attributes:
        fit: the car as fitted so far
    """

    fit: CarFit

    @cached_property
    def places(self) -> tuple[ReadingPlace, ...]:
        """What might be read, on the axles that answers are about."""
        axles: list[AxleName] = [axle for axle in AXLES if any(one.axle == axle for one in self.fit.answers)]
        rolls = any(one is ROLLING for one in self.fit.answers)  # else the unknowns of its height are not in the fit
        return (*candidates(self.fit.document, axles), *((ROLLING.figure,) if rolls else ()))

    @cached_property
    def seen(self) -> SeenValues:
        """What would be read there, with its slopes."""
        return CarValues(self.fit.document, self.fit.inputs, self.places)(self.fit.used.values)

    @cached_property
    def plus_minus(self) -> tuple[float, ...]:
        """The usual ± of each, as typed [SI]."""
        return tuple(
            place.kind.usual * (abs(float(value)) if place.kind.share else 1.0)
            for place, value in zip(self.places, self.seen.values, strict=True)
        )

    @cached_property
    def might(self) -> Candidates:
        """The same for the choice."""
        minutes = np.array([place.kind.minutes for place in self.places])
        return Candidates(self.seen.slopes, np.array(self.plus_minus) / DEVIATIONS_TYPED, minutes)

    def steps(self, answer: int, count: int) -> Sequence[NextReading]:
        """Readings for one answer, one after the other, by what they take from its variance in a minute.

        None is named for an answer that has no band.

        Args:
            answer: number of the answer
            count: how many
        """
        if not self.fit.sure_after.plus_minus[answer]:
            return []
        found = next_steps(self.fit.used.root, self.fit.after.slopes[answer], self.might, count)
        return [
            NextReading(self.places[step.number], self.plus_minus[step.number], DEVIATIONS_SHOWN * step.deviation)
            for step in found
        ]

    def for_everything(self, count: int) -> Sequence[ReadingPlace]:
        """Readings that bring most of all knowledge in a minute, one after the other.

        Args:
            count: how many
        """
        nothing = np.zeros(0)
        return [self.places[step.number] for step in next_steps(self.fit.used.root, nothing, self.might, count)]

    def idle(self, answer: int) -> int:
        """How many of the readings would each, alone, make hardly any difference to an answer.

        Args:
            answer: number of the answer
        """
        if not self.fit.sure_after.plus_minus[answer]:
            return len(self.places)
        slopes = self.fit.after.slopes[answer]
        variance = float(self.fit.used.deviation(slopes)) ** 2
        gains = variance_gains(self.fit.used.root, slopes, self.might)
        return int((gains < (1 - (1 - _MATTERS) ** 2) * variance).sum())
