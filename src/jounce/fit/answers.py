"""What a fit is for: the answers about axles and the whole car whose bands the readings are to make narrower."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.corner import LINEAR_TO
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import car_as_found
from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AxleName
from jounce.conventions.errors import Impossible, InputError, JounceError
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import MM, Kind
from jounce.fit.axle_figures import AxleFigure, AxleFigures
from jounce.fit.readings import ReadingPlace

__all__ = ["ROLLING", "AskedAnswer", "answers_of", "leans"]

_LOWER = 40 * MM


@dataclass(frozen=True, slots=True)
class AskedAnswer:
    """An answer.

    Attributes:
        figure: which figure of which axle, or where it could be read of the whole car
        word: its short name
        label: what it is called
        kind: what it measures

    """

    figure: AxleFigure | ReadingPlace
    word: str
    label: str
    kind: Kind

    @property
    def name(self) -> str:
        """Its name with its axle, ``front.wheel_rate``, or ``car.roll_gradient``."""
        return f"{self.axle or 'car'}.{self.word}"

    @property
    def axle(self) -> AxleName | None:
        """The axle that it is about; None for the whole car."""
        return self.figure.axle

    @property
    def title(self) -> str:
        """What it is called, with its axle."""
        return " ".join(filter(None, (self.axle, self.label)))


_PLAIN = (
    "wheel_rate",
    "ride_frequency",
    "roll_stiffness",
    "roll_centre_height",
    "bump_steer",
    "bump_camber",
    "caster",
)


ROLLING = AskedAnswer(
    ReadingPlace("roll-gradient"),
    "roll_gradient",
    f"{RESULTS['roll_gradient'].label} of the car",
    RESULTS["roll_gradient"].kind,
)
"""The answer about the whole car, as it was weighed."""


def leans(document: CarDocument) -> bool:
    """Whether a car comes to rest in turns both ways in which its roll gradient is told.

    Args:
        document: the car as its file says
    """
    try:
        return bool(at_rest(car_as_found(document), steady(LINEAR_TO * np.array([1.0, -1.0]))).reached.all())
    except JounceError:
        return False


def answers_of(axle: AxleFigures) -> tuple[AskedAnswer, ...]:
    """The answers that there are about an axle: of its wheels the mean of both.

    Args:
        axle: the axle of the car as its file says
    """
    return tuple(one for one in _every(axle) if isinstance(one.figure, AxleFigure) and _told(axle, one.figure))


def _every(axle: AxleFigures) -> Iterator[AskedAnswer]:
    name: AxleName = axle.axle
    bar = axle.model.main["left"].kind == "torsion bar"
    rate, wound = (Kind.TORSIONAL_RATE, Kind.ANGLE) if bar else (Kind.SPRING_RATE, Kind.LENGTH)
    spring = "torsion bar" if bar else "spring"
    yield AskedAnswer(AxleFigure(name, "main_rate"), "main_rate", f"{spring} rate", rate)
    figure = AxleFigure(name, "bar_twist" if bar else "coil_compressed")
    yield AskedAnswer(
        figure, "wound_up", "torsion bar twist, standing" if bar else "spring compressed, standing", wound
    )
    for word in _PLAIN:
        yield AskedAnswer(AxleFigure(name, word), word, RESULTS[word].label, RESULTS[word].kind)
    for word in ("toe", "camber"):
        yield AskedAnswer(
            AxleFigure(name, word, bump=_LOWER, change=True),
            f"{word}_lower",
            f"{word} change of a wheel, car 40 mm lower",
            Kind.ANGLE,
        )


def _told(axle: AxleFigures, figure: AxleFigure) -> bool:
    try:
        axle.value(figure)
    except (InputError, Impossible):
        return False
    return True
