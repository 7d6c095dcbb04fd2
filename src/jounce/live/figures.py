"""What is told of a car under the hand, read of the whole car at rest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.lift import turns_followed
from jounce.behaviour.road.loading import steady
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.conventions.units import Kind
from jounce.layouts.naming import SIDES
from jounce.live.moved import MovableCar
from jounce.wanted.roll_bars import roll_angle
from jounce.wanted.stood import Stood

__all__ = ["LEAN_AT", "LiveFigure", "lift_figures", "read_lift", "read_standing", "standing_figures"]

LEAN_AT = 4.0
"""Lateral acceleration of the bend in which the lean is told [m/s²]."""
_TURNS = {"left": 1.0, "right": -1.0}
_STRICT = 0.005  # of a rate, a lean, a lift [-]
_NEAR = 1e-4  # of a length [m]


@dataclass(frozen=True, slots=True)
class LiveFigure:
    """A number that follows the hand.

    Attributes:
        key: its name
        label: its name for people; several of one label are told as the least of them
        kind: what it measures

    """

    key: str
    label: str
    kind: Kind

    def missed(self, told: float, exact: float) -> float:
        """How far a number is off, in parts of what is allowed: a tenth of a millimetre, or half a hundredth of it [-].

        Args:
            told: what was told [SI]
            exact: what it is [SI]
        """
        return abs(told - exact) / (_NEAR if self.kind is Kind.LENGTH else _STRICT * abs(exact))


def standing_figures(car: MovableCar) -> tuple[LiveFigure, ...]:
    """What is told of the standing car, and of its lean in a bend.

    Args:
        car: the planned car
    """
    found: list[LiveFigure] = []
    for axle in AXLES:
        found += [
            *(LiveFigure(f"{axle}.{side}.lower", f"{axle} {side} lower by", Kind.LENGTH) for side in SIDES),
            LiveFigure(f"{axle}.wheel_rate", f"{axle} wheel rate", Kind.SPRING_RATE),
            LiveFigure(f"{axle}.ride_frequency", f"{axle} ride frequency", Kind.FREQUENCY),
        ]
        if car.bump[axle] is not None:
            found.append(LiveFigure(f"{axle}.bump", f"{axle} bump travel left", Kind.LENGTH))
    share = LiveFigure("front_share", "front share of the roll stiffness", Kind.SHARE)
    return (*found, share, LiveFigure("lean", f"lean in a bend at {LEAN_AT:g} m/s²", Kind.ANGLE))


def lift_figures() -> tuple[LiveFigure, ...]:
    """Where the inside wheels lift, each turn for itself: of both the sooner is told."""
    return tuple(
        LiveFigure(f"{axle}.lift.{turn}", f"{axle} inside wheel lifts at", Kind.ACCELERATION)
        for axle in AXLES
        for turn in _TURNS
    )


def read_standing(car: MovableCar, stood: Stood) -> Mapping[str, float]:
    """The standing figures of a car, by key [SI].

    Args:
        car: the planned car
        stood: it at rest, with its levers anywhere

    Raises:
        Impossible: it does not rest in the bend
    """
    found = {"front_share": stood.front_share, "lean": roll_angle(LEAN_AT)(stood)}
    for axle in AXLES:
        found |= {f"{axle}.{side}.lower": stood.sits.travel[axle, side] for side in SIDES}
        found |= {f"{axle}.{figure}": stood.of_wheels(axle, figure) for figure in ("wheel_rate", "ride_frequency")}
        left = _bump(car, axle, stood)
        if left is not None:
            found[f"{axle}.bump"] = left
    return found


def read_lift(stood: Stood) -> Mapping[str, float]:
    """Where the inside wheels of a car lift, by key [m/s²]; without those that do not as far as turns are followed.

    Args:
        stood: the car at rest
    """
    ahead = np.zeros(len(_TURNS))
    limits = turns_followed(
        stood.car, np.array([*_TURNS.values()]), at_rest(stood.car, steady(0.0, ahead)), ahead
    ).limits
    found = {
        f"{axle}.lift.{turn}": limit.of_axle(k)
        for k, axle in enumerate(AXLES)
        for turn, limit in zip(_TURNS, limits, strict=True)
    }
    return {key: value for key, value in found.items() if value is not None}


def _bump(car: MovableCar, axle: AxleName, stood: Stood) -> float | None:
    """How far both wheels can still go up: by so much less as the body is lower, since what ends it stays [m]."""
    left = car.bump[axle]
    return None if left is None else left - (stood.lower(axle) - car.today.lower(axle))
