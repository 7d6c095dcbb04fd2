"""An axle as a whole: track, the beam's place, what twists between the sides."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.axle.results.analytic import slope_angle
from jounce.behaviour.axle.results.reading import AxleKinematics
from jounce.numerics.arrays import Array


def track(reading: AxleKinematics) -> Mapping[str, Array]:
    """Distance of the contact points across the body and its change [m], total toe [rad]."""
    across = reading.value("left", "contact_y") - reading.value("right", "contact_y")
    found = reading.found("left", "contact_y") - reading.found("right", "contact_y")
    toe = reading.value("left", "toe") + reading.value("right", "toe")
    return {"track": across, "track_change": across - found, "total_toe": toe}


def beam(reading: AxleKinematics) -> Mapping[str, Array]:
    """Shift [m], yaw [rad] and roll steer [-] of a beam, slope of the rod that holds it [rad]."""
    values: dict[str, Array] = {}
    if reading.has("shift"):
        values["axle_shift"] = reading.value("shift")
    if reading.has("axle_steer"):
        values["axle_steer"] = reading.value("axle_steer")
        values["axle_roll_steer"] = reading.rate("roll", "axle_steer")
    if len(reading.linkage.held_sideways_by) == 2:  # a rod has two ends, a pivot is one
        body, end = (reading.position(point) for point in reading.linkage.held_sideways_by)
        rod = body - end
        values["rod_slope"] = slope_angle(rod[:, 2], np.sqrt(rod[:, 0] ** 2 + rod[:, 1] ** 2))
    return values


def twists(reading: AxleKinematics) -> Mapping[str, Array]:
    """Twist of anti-roll bars and of the beam [rad], and per roll of the body [-]."""
    values: dict[str, Array] = {}
    for name in ("roll_bar_twist", "roll_bar_2_twist", "inner_bar_twist"):
        if reading.has(name):
            values |= {name: reading.value(name), f"{name}_per_roll": reading.rate("roll", name)}
    return values
