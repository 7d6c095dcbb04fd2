"""One car at rest on its four tyres: where it stands and what they carry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.preload import main_spring_name
from jounce.behaviour.road.equilibrium import AtRest, at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.axes import CORNERS, Corner
from jounce.conventions.errors import Impossible
from jounce.conventions.units import MM
from jounce.numerics.arrays import Array

_FAR = 0.1  # a wheel that went so far from where it was found has left what the car is made for [m]


@dataclass(frozen=True, slots=True)
class StaticCar:
    """Where the car stands: wheel travels from as found [m], tyre loads [N], body heave [m], pitch and roll [rad].

    Pitch is positive nose down, roll positive right side down (ISO 8855).
    """

    travel: Mapping[Corner, float]
    load: Mapping[Corner, float]
    heave: float
    pitch: float
    roll: float

    @property
    def cross_share(self) -> float:
        """Share of the weight on the front right and rear left wheels [-]."""
        return (self.load["front", "right"] + self.load["rear", "left"]) / sum(self.load.values())

    @property
    def freedoms(self) -> Array:
        """Heave, pitch, roll and the four travels, shape (7,) [m or rad]."""
        return np.array([self.heave, self.pitch, self.roll, *(self.travel[corner] for corner in CORNERS)])


def settle(car: RoadCar, near: Mapping[Corner, float] | None = None) -> StaticCar:
    """Let the car come to rest.

    Args:
        car: the car, parts and settings complete
        near: wheel travels to start from, as found when left out [m]; where it may rest in more than one place it
            comes to rest in the one downhill from there

    Raises:
        Impossible: the car finds no rest
    """
    rest = at_rest(car, steady(), None if near is None else _set_down(car, near))
    if not rest.reached[0]:
        raise Impossible(_why_no_rest(car, rest))
    heave, pitch, roll = map(float, rest.freedoms[0, :3])
    return StaticCar(_by_corner(rest.travel), _by_corner(rest.acted.load), heave, pitch, roll)


def _set_down(car: RoadCar, travel: Mapping[Corner, float]) -> Array:
    """Freedoms, shape (1, 7): given wheel travels, the body where its wheel centres are as high as found, about."""
    travels = np.array([[travel[corner] for corner in CORNERS]])
    centres = [
        np.concatenate(
            [on_body.at(at)[0].centre[0] for on_body, at in zip(car.axles, np.split(wheels, 2, 1), strict=True)]
        )
        for wheels in (travels, np.zeros((1, 4)))
    ]
    x, y, z = centres[0].T
    lifted = np.linalg.lstsq(np.stack((np.ones(4), -x, y), 1), centres[1][:, 2] - z)[0]
    return np.concatenate((lifted[None], travels), 1)


def _by_corner(values: Array) -> dict[Corner, float]:
    """Numbers of one state's wheels, shape (1, 2, 2), by corner."""
    return dict(zip(CORNERS, map(float, values.ravel()), strict=True))


def _why_no_rest(car: RoadCar, rest: AtRest) -> str:
    """What does not carry where the search for a rest was given up."""
    loose = [f"{axle} {side}" for axle, side in CORNERS if not _spring_force(car, rest, (axle, side)) > 0]
    if not loose:
        return f"The car does not come to rest with these parts: {_where_it_went(rest)}"
    return (
        f"The car does not come to rest with these parts: its springs carry nothing at the {', '.join(loose)}, and no "
        "bump rubber or damper end that is described holds it up there. Choose longer springs or higher seats, or "
        "describe the bump rubbers."
    )


def _where_it_went(rest: AtRest) -> str:
    """Where the search was when it was given up, of a car whose springs all carry, and what would help."""
    travels = _by_corner(rest.travel)
    up, down = ([f"{axle} {side}" for (axle, side), by in travels.items() if way * by > _FAR] for way in (-1, 1))
    by = f"by more than {round(_FAR / MM)} mm"
    if up:
        return (
            f"its springs lift it at the {', '.join(up)} {by}. Choose shorter springs, lower seats or shorter dampers."
        )
    if down:
        return f"its springs let it down at the {', '.join(down)} {by}. Choose longer springs or higher seats."
    return f"{np.abs(rest.acted.unbalanced).max():.0f} N stay unbalanced. Choose parts nearer to those of the car."


def _spring_force(car: RoadCar, rest: AtRest, corner: Corner) -> float:
    """Force or torque of a main spring in the first state [N or N m]."""
    number = car.names.index(corner[0])
    on_body = car.axles[number]
    spring = on_body.axle.elements[main_spring_name(*corner)]
    at = spring.displacement(rest.paths[number].measure[:1, on_body.row[spring.measure]])
    return float(spring.law.force(at)[0])
