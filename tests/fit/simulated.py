"""Simulated garages: true cars drawn from what their files leave open, and what would be read on them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from jounce.car.file.reading import read_car
from jounce.fit.axle_figures import AxleFigure, AxleFigures
from jounce.fit.car_values import at_values, figure_of
from jounce.fit.readings import GarageReading, ReadingPlace
from jounce.fit.unknowns import known_of, unknowns
from tests.house.places import ROOT

NOT_KNOWN = {
    "front.torsion_bar.diameter": "1.5 mm",
    "front.torsion_bar.active_length": "10 mm",
    "front.torsion_bar.shear_modulus": "2 %",
    "front.wheel.tyre_rate": "16 %",
    "front.roll_bar.diameter": "1 mm",
    "front.alignment.camber": "0.5 deg",
    "front.alignment.toe": "0.3 deg",
}
"""A car whose torsion bars nobody has had in his hands."""

LEFT = ("front", "left")
FIVE = (
    ReadingPlace("camber", *LEFT),
    ReadingPlace("toe", *LEFT),
    ReadingPlace("spring-frequency", "front"),
    ReadingPlace("sink", "front", load=100.0),
    ReadingPlace("bar-twist", *LEFT),
)
THIRTEEN = (
    *FIVE,
    *(ReadingPlace("toe", *LEFT, bump=bump) for bump in (-0.04, -0.02, 0.02, 0.04)),
    *(ReadingPlace("camber", *LEFT, bump=bump) for bump in (-0.04, 0.04)),
    *(ReadingPlace("outward", *LEFT, bump=bump) for bump in (-0.04, 0.04)),
)
EVERY = (
    *THIRTEEN,
    *(ReadingPlace("camber", *LEFT, bump=bump) for bump in (-0.02, 0.02)),
    *(
        ReadingPlace(what, *LEFT, bump=bump)
        for what in ("rearward", "damper-length", "arm-angle")
        for bump in (-0.04, 0.04)
    ),
    ReadingPlace("caster", *LEFT),
    ReadingPlace("kingpin", *LEFT),
    ReadingPlace("roll-stiffness", "front"),
    ReadingPlace("tyre-rate", *LEFT),
)
"""Twenty-five readings of a front axle."""


@cache
def document(name="brisk-14"):
    return read_car(ROOT / "src" / "jounce" / "demo" / f"{name}.toml")


def plus_minus_of(place, value):
    """The usual ± of a reading [SI]."""
    return place.kind.usual * (np.abs(value) if place.kind.share else 1.0)


@dataclass(frozen=True, slots=True)
class Garage:
    """Cars with what they truly are.

    ``readings`` (places, cars) without error, ``answers`` (figures, cars) [SI].
    """

    readings: np.ndarray
    answers: np.ndarray


def garage(car, wider, places, figures, cars, seed):
    """Cars drawn from the ± of their numbers, all worked out at once."""
    inputs = unknowns(car, wider)
    known = known_of(inputs)
    scatter = np.random.default_rng(seed).standard_normal((len(inputs), cars))
    many = at_values(car, inputs, known.values[:, None] + known.deviations[:, None] * scatter)
    axles = {}

    def told(asked):
        if asked.axle not in axles:
            axles[asked.axle] = AxleFigures(many, asked.axle)
        figure = asked if isinstance(asked, AxleFigure) else figure_of(asked, axles[asked.axle])
        return np.broadcast_to(axles[asked.axle].value(figure), cars)

    return Garage(np.array([told(one) for one in places]), np.array([told(one) for one in figures]))


def read(places, values, errors, gross=0.0):
    """Readings with an error of so many deviations each, what their kind shares mixed in; ``gross`` ones come on top."""
    alike = np.array([[one.what == other.what for other in places] for one in places])
    together = np.array([one.kind.together for one in places])
    spread = np.where(alike, together[:, None], 0.0) + np.diag(1 - together)
    made = []
    mixed = np.linalg.cholesky(spread) @ np.asarray(errors, dtype=float) + gross
    for place, value, error in zip(places, values, mixed, strict=True):
        plus_minus = float(plus_minus_of(place, value))
        made.append(GarageReading(place, float(value + error * plus_minus / 2), plus_minus))
    return made
