"""What to read next on a car that was fitted: for one answer, for all of them, and what does not matter.

An answer is one that the fit tells, or any other that follows from the car's numbers with its slopes by them: how low it
can go, when a wheel lifts, which teeth give a height. Numbers that no reading has moved are as sure then as their own ±.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.linalg import block_diag

from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import InputRef
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.axes import End, Side
from jounce.conventions.certainty import DEVIATIONS_SHOWN, DEVIATIONS_TYPED
from jounce.conventions.units import Kind, unit_of
from jounce.fit.answers import ROLLING, leans
from jounce.fit.candidates import candidates
from jounce.fit.car_fit import CarFit
from jounce.fit.car_values import CarValues
from jounce.fit.kinds import KINDS
from jounce.fit.least_squares import SeenValues
from jounce.fit.next_reading import Candidates, next_steps, variance_gains
from jounce.fit.readings import ReadingPlace
from jounce.fit.shared import sharing_kinds
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array

__all__ = ["FileNumber", "NextReading", "Planning", "SoughtAnswer", "splines_of"]

_MATTERS = 0.01
"""A reading that takes less than this share from an answer's band does not matter to it [-]."""
_OF_VARIANCE = 1 - (1 - _MATTERS) ** 2
_NOTHING = 1e-5
"""Of the unit in which an answer is shown: a narrower band comes of rounding."""
_TWICE = 2.0
"""So often a reading is named: what tape, floor and gauge have in common, no third one takes away."""


@dataclass(frozen=True, slots=True)
class SoughtAnswer:
    """An answer that readings are to make surer.

    Attributes:
        name: what programs call it
        title: what it is called
        kind: what it measures
        value: what it is now [SI]
        slopes: by the numbers of the files, by their places; those that it does not follow are left out
        splines: of the arm of the torsion bar whose turn it is; 0 where it is none, or they were not counted

    """

    name: str
    title: str
    kind: Kind
    value: float
    slopes: Mapping[str, float]
    splines: int = 0


def splines_of(document: CarDocument, axle: AxleName) -> int:
    """Splines of the arms of an axle's torsion bars; 0 where it has none, or they were not counted.

    Args:
        document: the car
        axle: which axle
    """
    bar = getattr(document.axle(End(axle)).side(Side.LEFT), "torsion_bar", None)
    return 0 if bar is None else bar.splines_arm or 0


@dataclass(frozen=True, slots=True)
class FileNumber:
    """A number of the car's file that may be measured, once more or for the first time.

    Attributes:
        path: its place in the file
        label: what the walk round the car calls it
        said: how it is taken
        plus_minus: what its tool usually leaves open, as typed [SI]
        minutes: of work

    """

    path: str
    label: str
    said: str
    plus_minus: float
    minutes: float

    def words(self, units: str = "metric") -> str:
        """The number in words.

        Args:
            units: unit set; it has no number in it
        """
        del units
        return f"measure {self.label}"


@dataclass(frozen=True, slots=True)
class NextReading:
    """A reading to take: where, its ± as typed [SI], and the answer's band after it, nine of ten [SI]."""

    place: ReadingPlace | FileNumber
    plus_minus: float
    band: float

    @property
    def minutes(self) -> float:
        """Of work."""
        return self.place.minutes if isinstance(self.place, FileNumber) else self.place.kind.minutes

    @property
    def said(self) -> str:
        """What is read, and how."""
        return self.place.said if isinstance(self.place, FileNumber) else self.place.kind.said


@dataclass(frozen=True)
class Planning:
    """What to read next.

    Attributes:
        fit: the car as fitted so far
        others: numbers that the fit has not moved, of the car and of new parts, each with its ± above zero
        more: answers besides those of the fit
        again: numbers of the car's file that may be measured, those with a ± only
        lacking: why there are no answers besides; empty where there are
    """

    fit: CarFit
    others: tuple[InputRef, ...] = ()
    more: tuple[SoughtAnswer, ...] = ()
    again: tuple[FileNumber, ...] = ()
    lacking: str = ""

    @cached_property
    def inputs(self) -> tuple[InputRef, ...]:
        """All numbers that may be off."""
        return (*self.fit.inputs, *self.others)

    @cached_property
    def root(self) -> Array:
        """Matrix R with covariance R Rᵀ of all that may be off, in columns as of `_spread`."""
        others = np.diag([one.plus_minus / DEVIATIONS_TYPED for one in self.others])
        return np.asarray(block_diag(self.fit.used.whole_root, others, np.eye(len(self._kinds) - len(self._read))))

    @cached_property
    def _read(self) -> tuple[str, ...]:
        """Kinds that were read and share an error, as the fit has their offsets."""
        return sharing_kinds(self.fit.readings)

    @cached_property
    def _kinds(self) -> tuple[str, ...]:
        """All kinds that share an error, those that were read first."""
        return (*self._read, *(what for what, one in KINDS.items() if one.together and what not in self._read))

    def _spread(self, slopes: Array) -> Array:
        """Slopes by all numbers as columns: the fit's numbers, its offsets, other numbers, further offsets."""
        own, read = len(self.fit.inputs), len(self._read)
        rows = len(slopes)
        by = slopes.reshape(rows, len(self.inputs))
        further = np.zeros((rows, len(self._kinds) - read))
        return np.concatenate((by[:, :own], np.zeros((rows, read)), by[:, own:], further), axis=1)

    def _column(self, what: str) -> int:
        """Column of a kind's offset."""
        number, read = self._kinds.index(what), len(self._read)
        return len(self.fit.inputs) + number + (0 if number < read else len(self.others))

    @cached_property
    def answers(self) -> tuple[SoughtAnswer, ...]:
        """Those of the fit, then those besides."""
        fit = self.fit
        own = (
            SoughtAnswer(
                one.name,
                one.title,
                one.kind,
                float(value),
                {number.path: float(way) for number, way in zip(fit.inputs, by, strict=True)},
                splines_of(fit.document, one.axle) if one.word == "wound_up" and one.axle else 0,
            )
            for one, value, by in zip(fit.answers, fit.after.values, fit.after.slopes, strict=True)
        )
        return (*own, *self.more)

    @cached_property
    def slopes(self) -> Array:
        """Slopes of the answers by all that may be off, in columns as of `_spread`."""
        return self._spread(np.array([[one.slopes.get(by.path, 0.0) for by in self.inputs] for one in self.answers]))

    @cached_property
    def bands(self) -> Array:
        """How sure each answer is now, nine of ten, (answers,) [SI]; 0 where no number with a ± reaches it."""
        wide = DEVIATIONS_SHOWN * np.linalg.norm(self.slopes[len(self.fit.answers) :] @ self.root, axis=1)
        least = [_NOTHING * unit_of(one.kind).factor for one in self.more]
        return np.concatenate((self.fit.sure_after.plus_minus, np.where(wide > least, wide, 0.0)))

    @cached_property
    def places(self) -> tuple[ReadingPlace, ...]:
        """What might be read, on the axles that answers are about; of the whole car where any answer is about that."""
        axles: list[AxleName] = [axle for axle in AXLES if any(one.axle == axle for one in self.fit.answers)]
        rolls = any(one is ROLLING for one in self.fit.answers)  # else the unknowns of its height are not in the fit
        weighed: tuple[ReadingPlace, ...] = ()
        if self.more:
            axles, rolls = list(AXLES), rolls or leans(self.fit.document)
            corners = [(axle, side) for axle in AXLES for side in SIDES]
            weighed = tuple(ReadingPlace(what, *corner) for what in ("height", "scale") for corner in corners)
        return (*candidates(self.fit.document, axles), *weighed, *((ROLLING.figure,) if rolls else ()))

    @cached_property
    def seen(self) -> SeenValues:
        """What would be read there, with its slopes by all numbers of the car; none follows those of new parts."""
        document, known = self.fit.document, {one.path for one in self.fit.inputs}
        own = [k for k, one in enumerate(self.inputs) if one.path in known or not one.path.startswith("change.")]
        inputs = [self.inputs[k] for k in own]
        values = np.concatenate((self.fit.used.values, [one.value for one in self.others]))[own]
        found = CarValues(document, inputs, self.places)(values)
        slopes = np.zeros((len(self.places), len(self.inputs)))
        slopes[:, own] = found.slopes
        return SeenValues(found.values, slopes)

    @cached_property
    def plus_minus(self) -> tuple[float, ...]:
        """The usual ± of each, as typed [SI]: first of the places, then of the numbers of the file."""
        read = (
            place.kind.usual * (abs(float(value)) if place.kind.share else 1.0)
            for place, value in zip(self.places, self.seen.values, strict=True)
        )
        return (*read, *(one.plus_minus for one in self.again))

    @cached_property
    def may_be_read(self) -> tuple[ReadingPlace | FileNumber, ...]:
        """All that may be read or measured."""
        return (*self.places, *self.again)

    @cached_property
    def might(self) -> Candidates:
        """The same for the choice."""
        minutes = np.array([place.kind.minutes for place in self.places] + [one.minutes for one in self.again])
        of_file = np.array([[float(by.path == one.path) for by in self.inputs] for one in self.again])
        slopes = self._spread(np.concatenate((self.seen.slopes, of_file.reshape(len(self.again), len(self.inputs)))))
        alone = np.array(self.plus_minus) / DEVIATIONS_TYPED
        for k, place in enumerate(self.places):
            if place.kind.together:
                slopes[k, self._column(place.what)] = alone[k] * place.kind.together**0.5
                alone[k] *= (1 - place.kind.together) ** 0.5
        return Candidates(slopes, alone, minutes)

    @cached_property
    def _often(self) -> Array:
        """How often each may be named: a number of the file is measured once more."""
        return np.array([_TWICE] * len(self.places) + [1.0] * len(self.again))

    def steps(self, answer: int, count: int) -> Sequence[NextReading]:
        """Readings for one answer, one after the other, by what they take from its variance in a minute.

        None is named for an answer that has no band, nor one that hardly makes a difference.

        Args:
            answer: number of the answer
            count: how many
        """
        if not self.bands[answer]:
            return []
        found = next_steps(self.root, self.slopes[answer], self.might, count, _OF_VARIANCE, self._often)
        return [
            NextReading(self.may_be_read[step.number], self.plus_minus[step.number], DEVIATIONS_SHOWN * step.deviation)
            for step in found
        ]

    def for_everything(self, count: int) -> Sequence[ReadingPlace]:
        """Readings that bring most of all knowledge in a minute, one after the other.

        Args:
            count: how many
        """
        might, many = self.might, len(self.places)
        read = Candidates(might.slopes[:many], might.deviations[:many], might.minutes[:many])
        often = self._often[:many]
        return [self.places[step.number] for step in next_steps(self.root, np.zeros(0), read, count, often=often)]

    def idle(self, answer: int) -> int:
        """How many of the readings would each, alone, make hardly any difference to an answer.

        Args:
            answer: number of the answer
        """
        if not self.bands[answer]:
            return len(self.may_be_read)
        slopes = self.slopes[answer]
        variance = float(np.linalg.norm(slopes @ self.root)) ** 2
        return int((variance_gains(self.root, slopes, self.might) < _OF_VARIANCE * variance).sum())

    def of_new_parts(self, answer: int) -> float:
        """Half width of the band that the numbers of new parts alone leave an answer, nine of ten [SI].

        Args:
            answer: number of the answer
        """
        by = self.answers[answer].slopes
        own = [
            by.get(one.path, 0.0) * one.plus_minus / DEVIATIONS_TYPED
            for one in self.inputs
            if one.path.startswith("change.")
        ]
        return float(DEVIATIONS_SHOWN * np.linalg.norm(own)) if own else 0.0
