"""How the body resists being turned: from the car file where it is known, else a told estimate from the car's mass."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.conventions.errors import InputError
from jounce.numerics.arrays import Array

_FITTED = {"roll": (0.497, -181.445, 0.857), "pitch": (3.079, -1728.758, 0.913), "yaw": (3.176, -1754.164, 0.920)}
"""Straight lines over the car's mass, ``slope m + offset`` [kg m²], and their R²."""
_LIGHTEST = 700.0  # below this mass the lines are followed no further, but the inertia taken in proportion [kg]


@dataclass(frozen=True, slots=True)
class WholeInertia:
    """Moments of inertia of the whole car as weighed about its own centre of gravity [kg m²], and where from."""

    roll: float
    pitch: float
    yaw: float
    origin: str


def estimated_inertia(mass: float) -> WholeInertia:
    """Inertia of an ordinary passenger car of some mass.

    ``I = slope m + offset`` for roll, pitch and yaw; below 700 kg in proportion to the mass from there.

    Args:
        mass: of the whole car [kg]

    Returns:
        The estimate; cars scatter widely about it

    Source: public regressions (73 unballasted cars) of the database of Heydinger et al., SAE 1999-01-1336.

    >>> round(estimated_inertia(900.0).pitch, 1)
    1042.3

    """
    at = max(mass, _LIGHTEST)
    roll, pitch, yaw = ((slope * at + offset) * mass / at for slope, offset, _ in _FITTED.values())
    said = ", ".join(f"{name} R² {fit[2]:.2f}" for name, fit in _FITTED.items() if name != "yaw")
    return WholeInertia(roll, pitch, yaw, f"estimate from the car's mass, {said}")


def whole_inertia(document: CarDocument) -> WholeInertia:
    """Inertia of the whole car: measured where the car file says so, else estimated, each for itself.

    Args:
        document: the car
    """
    guess, mass = estimated_inertia(document.mass.total), document.mass
    given = {name: value.value for name, value in (("roll", mass.roll_inertia), ("pitch", mass.pitch_inertia)) if value}
    if not given:
        return guess
    origin = "car file" if len(given) == 2 else f"{next(iter(given))} from the car file, the other: {guess.origin}"
    return WholeInertia(given.get("roll", guess.roll), given.get("pitch", guess.pitch), guess.yaw, origin)


def body_inertia(car: RoadCar, whole: WholeInertia) -> Array:
    """Inertia of the body about its own centre of gravity: the whole car less what its wheels and centres are apart.

    Args:
        car: the car; what is aboard besides is no part of ``whole`` nor of the result
        whole: inertia of the car as weighed

    Returns:
        Principal moments about x, y, z [kg m²]; products of inertia are left out

    Raises:
        InputError: the masses of the wheels alone resist more than the whole car is said to
    """
    wheels, mass = _wheel_centres(car), car.unsprung.ravel()
    at = np.concatenate((wheels, car.sprung_centre[None]))
    masses = np.append(mass, car.sprung_mass)
    apart = at - masses @ at / masses.sum()
    square = (apart**2).sum(axis=1, keepdims=True) - apart**2
    own: Array = np.asarray([whole.roll, whole.pitch, whole.yaw] - masses @ square, dtype=np.float64)
    if own.min() <= 0:
        name = ("roll", "pitch", "yaw")[int(np.argmin(own))]
        raise InputError(
            f"The {name} inertia is too small",
            found=f"{getattr(whole, name):.0f} kg·m² ({whole.origin})",
            allowed=f"more than {(masses @ square)[int(np.argmin(own))]:.0f} kg·m², which the masses have where they are",
            todo=f"Check {name}_inertia, the unsprung masses and the corner weights.",
        )
    return own


def _wheel_centres(car: RoadCar) -> Array:
    """Wheel centres as found, body axes, shape (4, 3) [m]."""
    return np.concatenate([axle.at(np.zeros((1, 2)))[0].centre[0] for axle in car.axles])
