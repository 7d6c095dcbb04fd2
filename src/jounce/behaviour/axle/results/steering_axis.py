"""The axis a wheel turns about when it is steered, and where it lies to the wheel and the road."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.results.reading import AxleKinematics
from jounce.layouts.naming import SideName, outward
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import bearing
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import unit


@dataclass(frozen=True, slots=True)
class SteeringAxis:
    """A point on the axis and its direction upwards, body axes, each (states, 3) [m, any]."""

    point: Array
    upwards: Array

    def through(self, place: Array, normal: Array) -> Array:
        """Where it pierces the plane through a point square to a normal, shape (states, 3) [m].

        Args:
            place: the point, shape (states, 3) [m]
            normal: unit normal of the plane, shape (states, 3) [-]

        """
        above = np.sum((place - self.point) * normal, -1) / np.sum(self.upwards * normal, -1)
        return np.asarray(self.point + above[:, None] * self.upwards)


def steering_axis(reading: AxleKinematics, side: SideName) -> SteeringAxis | None:
    """The line through the two joints, or the axis of the carrier's screw as its tie rod changes length."""
    if side in reading.linkage.steering_axis:
        lower, upper = (reading.position(point) for point in reading.linkage.steering_axis[side])
        return SteeringAxis(lower, upper - lower)
    screw = reading.steering_screw(side)
    if screw is None:
        return None
    velocity, turn = screw
    nearest = cross(turn, velocity) / np.sum(turn * turn, -1)[:, None]
    upwards = np.where(turn[:, 2:].real < 0, -turn, turn)
    return SteeringAxis(reading.point(side, "wheel") + nearest, unit(upwards))


def steering_axis_results(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Caster and inclination [rad], scrub radius, trail, and both at the wheel centre [m]."""
    axis = steering_axis(reading, side)
    if axis is None:
        return {}
    ahead = unit(cross(reading.direction(reading.linkage.wheels[side].axis), reading.road_normal))
    across = outward(side) * cross(reading.road_normal, ahead)
    forward, left, up = (np.sum(axis.upwards * way, -1) for way in (*reading.road_axes, reading.road_normal))
    values = {
        "caster": bearing(-forward, up),
        "kingpin_inclination": bearing(-outward(side) * left, up),
    }
    for point, offset, trail in (("contact", "scrub_radius", "trail"), ("wheel", "hub_offset", "hub_trail")):
        place = reading.point(side, point)
        way = place - axis.through(place, reading.road_normal)
        values |= {offset: np.sum(way * across, -1), trail: -np.sum(way * ahead, -1)}
    changes = ("caster", "kingpin_inclination")
    return values | {f"{name}_change": reading.change(side, name) for name in changes if reading.has(side, name)}
