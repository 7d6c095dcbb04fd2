"""One wheel: where it is, its angles, and how they change in bump and in roll."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.axle.results.analytic import divided
from jounce.behaviour.axle.results.reading import AxleKinematics, Path
from jounce.layouts.naming import SideName, outward
from jounce.numerics.arrays import Array


def wheel_position(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Travel, wheel centre and contact point [m]."""
    values = {"travel": reading.value(side, "travel")}
    for name, measure in (("wheel_centre", "wheel"), ("contact", "contact")):
        values |= {f"{name}_{axis}": reading.value(side, f"{measure}_{axis}") for axis in "xyz"}
    forward = reading.change(side, "wheel_x")
    return values | {
        "wheel_recession": -forward,
        "wheel_centre_outward": outward(side) * reading.change(side, "wheel_y"),
        "wheelbase_change": reading.forward * forward,
    }


def wheel_angles(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Camber, toe and steer angle to the road, camber to the body, and their changes from as found [rad]."""
    camber, found = (-outward(side) * np.arcsin(read(side, "road_cosine")) for read in (reading.value, reading.found))
    return {
        "camber": camber,
        "camber_to_body": reading.value(side, "camber"),
        "toe": reading.value(side, "toe"),
        "steer": reading.value(side, "steer"),
        "camber_change": camber - found,
        "toe_change": reading.change(side, "toe"),
    }


def bump_gradients(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Changes per travel of this wheel in the motion's mode, NaN where it stands still [rad/m or -]."""
    own = reading.rate("motion", side, "travel")
    measures = {
        "bump_steer": ("toe", 1.0),
        "bump_caster": ("caster", 1.0),
        "recession_gradient": ("wheel_x", -1.0),
        "half_track_gradient": ("contact_y", outward(side)),
    }
    values = {
        name: divided(sense * reading.rate("motion", side, measure), own)
        for name, (measure, sense) in measures.items()
        if reading.has(side, measure)
    }
    return {**values, "bump_camber": divided(camber_rate(reading, side, "motion"), own)}


def camber_rate(reading: AxleKinematics, side: SideName, path: Path) -> Array:
    """Change of camber along a path, shape (states,) [rad per unit].

    Args:
        reading: the axle in its states
        side: which wheel
        path: what moves

    """
    sine = reading.value(side, "road_cosine")
    return np.asarray(-outward(side) * reading.rate(path, side, "road_cosine") / np.sqrt(1 - sine * sine))


def roll_gradients(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Changes per roll of the body on the road [-]."""
    values = {
        name: reading.rate("roll", side, measure)
        for name, measure in (("roll_steer", "steer"), ("roll_camber_to_body", "camber"), ("roll_caster", "caster"))
        if reading.has(side, measure)
    }
    return {**values, "roll_camber": camber_rate(reading, side, "roll")}
