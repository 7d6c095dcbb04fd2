"""What a fit is for: the answers about an axle whose bands the readings are to make narrower."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from jounce.car.mechanics.model import AxleName
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.quantities import RESULTS
from jounce.conventions.units import MM, Kind
from jounce.fit.axle_figures import AxleFigure, AxleFigures

__all__ = ["AskedAnswer", "answers_of"]

_LOWER = 40 * MM


@dataclass(frozen=True, slots=True)
class AskedAnswer:
    """An answer.

    Attributes:
        figure: which figure of which axle
        word: its short name
        label: what it is called
        kind: what it measures

    """

    figure: AxleFigure
    word: str
    label: str
    kind: Kind

    @property
    def name(self) -> str:
        """Its name with its axle, ``front.wheel_rate``."""
        return f"{self.figure.axle}.{self.word}"


_PLAIN = (
    "wheel_rate",
    "ride_frequency",
    "roll_stiffness",
    "roll_centre_height",
    "bump_steer",
    "bump_camber",
    "caster",
)


def answers_of(axle: AxleFigures) -> tuple[AskedAnswer, ...]:
    """The answers that there are about an axle: of its wheels the mean of both.

    Args:
        axle: the axle of the car as its file says
    """
    return tuple(one for one in _every(axle) if _told(axle, one.figure))


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
