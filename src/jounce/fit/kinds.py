"""What a garage can read on a car: each kind of reading with where it is read, how well, and in how many minutes.

The usual ± (two standard deviations, as typed) and the minutes of work are common practice, no source: a shop that knows
better writes its own ± beside each reading.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from jounce.conventions.constants import GRAVITY
from jounce.conventions.units import DEG, MM, Kind

__all__ = ["KINDS", "ReadingKind", "Where"]

Where = Literal["axle", "wheel", "points", "car"]


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """One kind of reading.

    Attributes:
        kind: what it measures
        said: what is read, and how
        where: whether it is read of a wheel, of an axle, of the whole car, or between two points
        usual: usual ± as typed [SI], or as a share of the value
        minutes: of work, once the car stands ready
        hard: smallest and largest value accepted, in the default unit of the kind
        share: whether ``usual`` is a share of the value
        travels: whether it may be read with the wheels moved from where they stand (``bump``)
        moved: whether it counts from where the wheel stands, and so is nothing there
        figures: names of the figure of the axle that it is (`jounce.fit.axle_figures`), the first that it has; none for
            what is read of the whole car or between pivots
        spring: kind of main spring without which there is none; empty where any will do
        weighted: whether it needs a mass put on (``load``)
        aboard: whether loads may be aboard (``aboard``)
        beside: whether it is set beside the fit, since no number that is fitted follows from it
        together: share of the variance of a reading that all readings of its kind have in common (`jounce.fit.shared`) [-]

    """

    kind: Kind
    said: str
    where: Where
    usual: float
    minutes: float
    hard: tuple[float, float]
    share: bool = False
    travels: bool = False
    moved: bool = False
    figures: tuple[str, ...] = ()
    spring: str = ""
    weighted: bool = False
    aboard: bool = False
    beside: bool = False
    together: float = 0.0


_ZERO = 0.5
"""Of what has a zero of its own: floor, tape and arch edge, gauge, scales; common practice, no source."""


def _of_travel(
    kind: Kind, figure: str, usual: float, minutes: float, hard: tuple[float, float], said: str
) -> ReadingKind:
    together = _ZERO if kind is Kind.ANGLE else 0.0
    return ReadingKind(kind, said, "wheel", usual, minutes, hard, travels=True, figures=(figure,), together=together)


def _moved(figure: str, said: str) -> ReadingKind:
    return ReadingKind(
        Kind.LENGTH, said, "wheel", 1.4 * MM, 6, (-200, 200), travels=True, moved=True, figures=(figure,)
    )


def _of_axle(
    kind: Kind, figure: str, usual: float, minutes: float, hard: tuple[float, float], said: str
) -> ReadingKind:
    return ReadingKind(kind, said, "axle", usual, minutes, hard, share=True, figures=(figure,))


_ANGLE, _LENGTH = Kind.ANGLE, Kind.LENGTH
_BAR = "turn of a torsion bar's arm from hanging, the bar without load, to standing"
_SINK = (
    "how far arch and wheel centre come together when a mass is put on above the axle, half on each side: the mean of "
    "both sides, and of putting it on and taking it off"
)
_ARM = "turn of the (lower) arm from where it stands, by an inclinometer; positive as the wheel rises"
_ROLL = "of the axle without its tyres, by blocks under the wheels of one side and scales"
_CIRCLE = (
    "how far the body leans out of a turn, driven round a circle both ways on closed ground, as “circle” tells it; "
    "who was aboard besides what was weighed belongs to it"
)

KINDS: Mapping[str, ReadingKind] = {
    "height": ReadingKind(
        _LENGTH,
        "wheel centre to the edge of the arch, the car standing",
        "wheel",
        2 * MM,
        3,
        (100, 800),
        aboard=True,
        together=_ZERO,
    ),
    "scale": ReadingKind(
        Kind.MASS, "what the scale under the wheel shows", "wheel", 1.0, 5, (0, 1500), aboard=True, together=_ZERO
    ),
    "camber": _of_travel(_ANGLE, "camber", 0.16 * DEG, 5, (-20, 20), "camber gauge on the rim"),
    "toe": _of_travel(_ANGLE, "toe", 0.08 * DEG, 8, (-20, 20), "toe of one wheel against the car's centre line"),
    "total-toe": ReadingKind(
        _ANGLE,
        "toe of both wheels together",
        "axle",
        0.1 * DEG,
        6,
        (-20, 20),
        travels=True,
        figures=("total_toe",),
        together=_ZERO,
    ),
    "caster": _of_travel(_ANGLE, "caster", 0.4 * DEG, 10, (-20, 30), "by swinging the wheel, gauge on the rim"),
    "kingpin": _of_travel(
        _ANGLE, "kingpin_inclination", 0.5 * DEG, 10, (-10, 40), "kingpin inclination, by swinging the wheel"
    ),
    "outward": _moved("wheel_centre_outward", "how far the wheel centre has gone outward"),
    "rearward": _moved("wheel_recession", "how far the wheel centre has gone rearward"),
    "damper-length": _of_travel(_LENGTH, "damper_length", 1 * MM, 5, (50, 1000), "from eye to eye, tape or trammel"),
    "spring-length": replace(
        _of_travel(_LENGTH, "spring_length", 2 * MM, 5, (50, 1000), "of a coil between its seats"), spring="coil"
    ),
    "arm-angle": ReadingKind(
        _ANGLE,
        _ARM,
        "wheel",
        0.3 * DEG,
        5,
        (-60, 60),
        travels=True,
        moved=True,
        figures=("arm_angle", "lower_arm_angle"),
    ),
    "bar-twist": ReadingKind(
        _ANGLE, _BAR, "wheel", 1.6 * DEG, 30, (0, 90), figures=("bar_twist",), spring="torsion bar"
    ),
    "coil-compressed": ReadingKind(
        _LENGTH,
        "free length of the coil less its length as it stands",
        "wheel",
        3 * MM,
        60,
        (0, 500),
        figures=("coil_compressed",),
        spring="coil",
    ),
    "sink": ReadingKind(_LENGTH, _SINK, "axle", 0.1, 10, (0, 200), share=True, weighted=True, figures=("sink",)),
    "spring-frequency": _of_axle(
        Kind.FREQUENCY, "suspension_frequency", 0.04, 10, (0.2, 10), "on the springs alone, as “bounce” tells it"
    ),
    "bounce-frequency": _of_axle(
        Kind.FREQUENCY,
        "ride_frequency",
        0.06,
        5,
        (0.2, 10),
        "swings of the bounced body counted by a watch, tyres included",
    ),
    "damping-ratio": ReadingKind(
        Kind.RATIO,
        "on the springs alone, as “bounce” tells it; 0.5 where it says well damped: what is left of the dampers",
        "axle",
        0.05,
        10,
        (0.01, 1.5),
        beside=True,
    ),
    "roll-stiffness": _of_axle(Kind.ROLL_STIFFNESS, "roll_stiffness", 0.1, 40, (0, 10000), _ROLL),
    "tyre-rate": ReadingKind(
        Kind.SPRING_RATE,
        "by jack and scale, at the pressure at which the car runs",
        "wheel",
        0.1,
        15,
        (40, 1000),
        share=True,
        figures=("tyre_rate",),
    ),
    "roll-gradient": ReadingKind(
        Kind.ANGLE_PER_ACCELERATION, _CIRCLE, "car", 0.5 * DEG / GRAVITY, 60, (0.1, 20), aboard=True
    ),
    "length": ReadingKind(_LENGTH, "between two pivots, by trammel", "points", 1 * MM, 4, (5, 3000)),
}
"""Every kind of reading by its word."""
