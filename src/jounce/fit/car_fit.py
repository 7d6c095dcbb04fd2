"""A car fitted to its readings: what was read beside the model before and after, and how sure the answers are then.

One reading that misses the others is left out and named (`jounce.fit.judgement`), and with it those that may be off in its
stead; where the rest does not belong to the car either, nothing is to be told of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import InputRef
from jounce.car.mechanics.model import AXLES
from jounce.conventions.certainty import DEVIATIONS_SHOWN, DEVIATIONS_TYPED
from jounce.conventions.errors import InputError, NotConverged
from jounce.conventions.units import unit_of
from jounce.fit.answers import ROLLING, AskedAnswer, answers_of, leans
from jounce.fit.axle_figures import AxleFigures
from jounce.fit.car_values import CarValues
from jounce.fit.judgement import Judgement, judged
from jounce.fit.least_squares import KnownBefore, Posterior, Readings, SeenValues, fitted
from jounce.fit.readings import GarageReading
from jounce.fit.shared import read_together
from jounce.fit.unknowns import known_of, unknowns
from jounce.numerics.arrays import Array

__all__ = ["CarFit", "Sure", "fit_car"]

_NOTHING = 1e-7
"""Of the unit in which an answer is shown: a smaller deviation comes of rounding."""


@dataclass(frozen=True, slots=True)
class Sure:
    """Answers with their bands: ``values`` and half widths that hold nine of ten, ``plus_minus``, (answers,) [SI].

    A band is 0 where no number with a ± reaches the answer.
    """

    values: Array
    plus_minus: Array


@dataclass(frozen=True, slots=True)
class CarFit:
    """What readings say of a car.

    Attributes:
        document: the car as its file says
        inputs: the numbers that may move, with their ± as taken here
        readings: what was read
        answers: what is asked of the car
        model_before: the readings by the file, with slopes
        with_all: the fit to all readings
        judgement: of all readings
        used: the fit that counts, without the readings that were left out
        of_used: judgement of the readings that it uses
        left_out: numbers of the readings that were left out, the likeliest first: one of them is off
        before: the answers by the file, with slopes
        after: the answers by the fit, with slopes
        beside: what was read besides, from which no number that is fitted follows

    """

    document: CarDocument
    inputs: tuple[InputRef, ...]
    readings: tuple[GarageReading, ...]
    answers: tuple[AskedAnswer, ...]
    model_before: SeenValues
    with_all: Posterior
    judgement: Judgement
    used: Posterior
    of_used: Judgement
    left_out: tuple[int, ...]
    before: SeenValues
    after: SeenValues
    beside: tuple[GarageReading, ...] = ()

    @property
    def belongs(self) -> bool:
        """Whether the readings used and the car belong together."""
        return self.of_used.belongs

    @property
    def apart(self) -> Array:
        """By how many deviations each reading misses the others that are used, (readings,)."""
        apart = self.judgement.apart.copy()
        apart[_others(len(apart), self.left_out)] = self.of_used.apart
        return apart

    @property
    def sure_before(self) -> Sure:
        """The answers by the file."""
        return self._sure(self.before.values, np.linalg.norm(self.before.slopes * self.used.known.deviations, axis=1))

    @property
    def sure_after(self) -> Sure:
        """The answers by the fit."""
        return self._sure(self.after.values, self.used.deviation(self.after.slopes))

    def _sure(self, values: Array, deviations: Array) -> Sure:
        """Where no number with a ± reaches an answer, what rounding leaves of its deviation is nothing."""
        least = [_NOTHING * unit_of(one.kind).factor for one in self.answers]
        return Sure(values, np.where(deviations > least, DEVIATIONS_SHOWN * deviations, 0.0))

    @property
    def model_after(self) -> Array:
        """All readings by the fit that counts, those left out among them, (readings,) [SI]."""
        if not self.left_out:
            return self.used.seen.values
        return CarValues(self.document, self.inputs, [one.at for one in self.readings])(self.used.values).values


def fit_car(document: CarDocument, readings: Sequence[GarageReading], wider: Mapping[str, object]) -> CarFit:
    """Fit a car to what was read on it.

    Args:
        document: the car, with the ± of its numbers
        readings: what was read
        wider: ± that stands instead of the file's, see `jounce.fit.unknowns.unknowns`

    Raises:
        InputError: the car has not what was read, or no number that may move reaches any reading
        Impossible: the car cannot be as its file says
        NotConverged: no numbers suit the readings best
    """
    answers = answers_for(document, readings)
    beside = tuple(one for one in readings if one.at.kind.beside)
    readings = [one for one in readings if not one.at.kind.beside]
    everything = [one.at for one in readings] + [one.figure for one in answers]
    inputs = unknowns(document, wider)
    first = CarValues(document, inputs, everything)(known_of(inputs).values)
    moves = np.flatnonzero(np.any(first.slopes != 0, axis=0))
    inputs = tuple(inputs[k] for k in moves)
    count, known = len(readings), known_of(inputs)
    before = SeenValues(first.values[count:], first.slopes[count:, moves])
    begins = SeenValues(first.values[:count], first.slopes[:count, moves])
    if count and not np.any(begins.slopes):
        raise InputError(
            "No number with a ± has anything to do with what was read",
            found=f"{len(inputs)} numbers with a ±",
            todo="Give those that are not known a ±, in the car file or under [plus_minus] of the readings.",
        )
    read = Readings(np.array([one.value for one in readings]), *read_together(readings))
    model = CarValues(document, inputs, [one.at for one in readings])
    try:
        with_all = fitted(_Begun(model, known.values, begins), known, read)
    except NotConverged as stopped:
        raise NotConverged(_furthest(readings, begins, known, read)) from stopped
    judgement = judged(with_all)
    used, of_used, left_out = with_all, judgement, judgement.suspects
    if left_out:
        others = _others(len(readings), left_out)
        only = replace(model, asked=[readings[k].at for k in others])
        used = fitted(only, known, read.take(others), start=with_all.values)
        of_used = judged(used)
    after = CarValues(document, inputs, [one.figure for one in answers])(used.values)
    of_readings = (begins, with_all, judgement, used, of_used, left_out)
    return CarFit(document, inputs, tuple(readings), answers, *of_readings, before, after, beside)


def answers_for(document: CarDocument, readings: Sequence[GarageReading]) -> tuple[AskedAnswer, ...]:
    """The answers about the axles that were read; about both where something was read of the whole car, or nothing.

    With both axles there is the roll of the whole car besides, whose unknowns would otherwise not be among those fitted.

    Args:
        document: the car
        readings: what was read
    """
    named = {one.at.axle for one in readings if one.at.axle} | {
        axle for one in readings for point in one.at.points for axle in AXLES if point.startswith(f"{axle}.")
    }
    axles = (
        AXLES
        if not named or any(one.at.aboard or one.at.kind.where == "car" for one in readings)
        else [one for one in AXLES if one in named]
    )
    told = tuple(answer for axle in axles for answer in answers_of(AxleFigures(document, axle)))
    return (*told, ROLLING) if len(axles) == len(AXLES) and leans(document) else told


def _others(count: int, left_out: Sequence[int]) -> list[int]:
    return [k for k in range(count) if k not in left_out]


def _furthest(readings: Sequence[GarageReading], begins: SeenValues, known: KnownBefore, read: Readings) -> str:
    """Which reading is furthest from what the file says, where no numbers suit them all."""
    open_left = np.hypot(read.whole_deviations, np.linalg.norm(begins.slopes * known.deviations, axis=1))
    apart = np.abs(read.values - begins.values) / open_left
    worst = int(np.argmax(apart))
    return (
        "No numbers of this car suit these readings. Furthest from what its file says is "
        f"{readings[worst].at.words()}: {apart[worst] / DEVIATIONS_TYPED:.1f} times what both ± leave open. Read it again, "
        "or look for a slip in its unit or its sign."
    )


@dataclass(frozen=True, slots=True)
class _Begun:
    """A model whose first answer is known already."""

    model: CarValues
    at: Array
    seen: SeenValues

    def __call__(self, values: Array) -> SeenValues:
        return self.seen if values is self.at else self.model(values)
