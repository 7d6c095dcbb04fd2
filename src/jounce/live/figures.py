"""What is told of a car under the hand, read of the whole car at rest."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.lift import turns_followed
from jounce.behaviour.road.loading import steady
from jounce.car.mechanics.model import AXLES
from jounce.checks.dampers import heave_ratios_on_road
from jounce.conventions.units import Kind
from jounce.layouts.naming import SIDES
from jounce.live.figure import LiveFigure
from jounce.live.moved import MovableCar
from jounce.live.room import (
    clearance_figures,
    plate_figures,
    read_clearance,
    read_plates,
    read_travel,
    travel_figures,
)
from jounce.wanted.anti_roll_bars import roll_angle
from jounce.wanted.stood import Stood

__all__ = [
    "LEAN_AT",
    "every_figure",
    "lean_figure",
    "lift_figures",
    "read_damping",
    "read_every",
    "read_lean",
    "read_lift",
    "read_standing",
    "standing_figures",
]

LEAN_AT = 4.0
"""Lateral acceleration of the bend in which the lean is told [m/s²]."""
_TURNS = {"left": 1.0, "right": -1.0}


def standing_figures(car: MovableCar) -> tuple[LiveFigure, ...]:
    """What is told of the standing car, and of its lean in a bend.

    Args:
        car: the planned car
    """
    found: list[LiveFigure] = []
    ratios = read_damping(car, car.today)
    for axle in AXLES:
        found += [
            *(LiveFigure(f"{axle}.{side}.lower", f"{axle} {side} lower by", Kind.LENGTH) for side in SIDES),
            LiveFigure(f"{axle}.wheel_rate", f"{axle} wheel rate", Kind.SPRING_RATE),
            LiveFigure(f"{axle}.ride_frequency", f"{axle} ride frequency", Kind.FREQUENCY),
        ]
        key = f"{axle}.damping"
        if key in ratios:
            ends = car.limits["least_damping"].value, car.limits["most_damping"].value
            found.append(LiveFigure(key, f"{axle} damping ratio in heave", Kind.RATIO, "DMP-01", *ends, times=key))
        found += travel_figures(car, axle)
        found += plate_figures(car, axle)
    share = LiveFigure("front_share", "front share of the roll stiffness", Kind.SHARE)
    return (*found, *clearance_figures(car), share)


def lean_figure() -> LiveFigure:
    """How far the body leans in a bend."""
    return LiveFigure("lean", f"lean in a bend at {LEAN_AT:g} m/s²", Kind.ANGLE, rubbers=True)


def lift_figures() -> tuple[LiveFigure, ...]:
    """Where the inside wheels lift, each turn for itself: of both the sooner is told."""
    return tuple(
        LiveFigure(f"{axle}.lift.{turn}", f"{axle} inside wheel lifts at", Kind.ACCELERATION, rubbers=True)
        for axle in AXLES
        for turn in _TURNS
    )


def read_standing(car: MovableCar, stood: Stood) -> Mapping[str, float]:
    """The standing figures of a car, by key, its dampers as planned [SI].

    Args:
        car: the planned car
        stood: it at rest, with its levers anywhere
    """
    found = {"front_share": stood.front_share, **read_damping(car, stood)}
    for axle in AXLES:
        found |= {f"{axle}.{side}.lower": stood.sits.travel[axle, side] for side in SIDES}
        found |= {f"{axle}.{figure}": stood.of_wheels(axle, figure) for figure in ("wheel_rate", "ride_frequency")}
        found |= {**read_travel(stood, axle), **read_plates(car, stood, axle)}
    return {**found, **read_clearance(car, stood)}


def read_lean(stood: Stood) -> Mapping[str, float]:
    """How far a car leans in the bend, by key [rad].

    Args:
        stood: the car at rest

    Raises:
        Impossible: it does not rest in the bend
    """
    return {lean_figure().key: roll_angle(LEAN_AT)(stood)}


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


def every_figure(car: MovableCar) -> tuple[LiveFigure, ...]:
    """All that is told of a car under the hand, in order.

    Args:
        car: the planned car
    """
    return (*standing_figures(car), lean_figure(), *lift_figures())


def read_every(car: MovableCar, stood: Stood) -> Mapping[str, float]:
    """All of it by key, its dampers as planned; without the wheels that do not lift as far as turns are followed [SI].

    Args:
        car: the planned car
        stood: it at rest

    Raises:
        Impossible: it does not rest in the bend
    """
    return {**read_standing(car, stood), **read_lean(stood), **read_lift(stood)}


def read_damping(car: MovableCar, stood: Stood) -> dict[str, float]:
    """Damping ratio in heave of each axle whose dampers are known, by key [-].

    Args:
        car: the planned car
        stood: it at rest, with its levers anywhere
    """
    ratios = heave_ratios_on_road(car.work.document, stood.car)
    return {f"{axle}.damping": ratio for axle, ratio in ratios.items() if ratio is not None}
