"""Instant centres and swing arms of a wheel, and how it supports braking and driving."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.axle.results.analytic import divided, slope_angle
from jounce.behaviour.axle.results.reading import AxleKinematics
from jounce.layouts.naming import SideName, outward
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross


def instant_centre(reading: AxleKinematics, side: SideName) -> tuple[Array, Array, Array, Array]:
    """Instant centre of the wheel carrier in front view (y, z) and side view (x, z), body axes [m]."""
    turn, velocity, centre = reading.turning("motion", side), reading.velocity("motion", side), _centre(reading, side)
    x, y, z = (centre[:, i] for i in range(3))
    front_y, front_z = y - divided(velocity[:, 2], turn[:, 0]), z + divided(velocity[:, 1], turn[:, 0])
    return front_y, front_z, x + divided(velocity[:, 2], turn[:, 1]), z - divided(velocity[:, 0], turn[:, 1])


def instant_centres(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Instant centres and the swing arms to them [m, rad]."""
    front_y, front_z, side_x, side_z = instant_centre(reading, side)
    centre = _centre(reading, side)
    turn, velocity = reading.turning("motion", side), reading.velocity("motion", side)
    arm = reading.point(side, "contact") - centre
    # Each view takes the carrier as moving in its own plane through the wheel centre, as its instant centre does.
    front = velocity[:, 1] - turn[:, 0] * arm[:, 2], velocity[:, 2] + turn[:, 0] * arm[:, 1]
    along = velocity[:, 0] + turn[:, 1] * arm[:, 2], velocity[:, 2] - turn[:, 1] * arm[:, 0]
    return {
        "front_view_centre_y": front_y,
        "front_view_centre_z": front_z,
        "side_view_centre_x": side_x,
        "side_view_centre_z": side_z,
        "front_view_swing_arm_length": outward(side) * (centre[:, 1] - front_y),
        "front_view_swing_arm_angle": slope_angle(outward(side) * front[0], front[1]),
        "side_view_swing_arm_length": reading.forward * (centre[:, 0] - side_x),
        "side_view_swing_arm_angle": slope_angle(reading.forward * along[0], along[1]),
    }


def supports(reading: AxleKinematics, side: SideName) -> Mapping[str, Array]:
    """Support angles under braking and driving, both wheels rising together [rad].

    A braking force F at the contact does the work ``-F dx`` on the carrier's point there, so by virtual work it puts
    ``-F dx/dz`` on the wheel, upwards, in place of the spring; a driving force acts likewise at the wheel centre.
    """
    turn, velocity = reading.turning("heave", side), reading.velocity("heave", side)
    at_contact = velocity + cross(turn, reading.point(side, "contact") - _centre(reading, side))
    rise = np.sum(at_contact * reading.road_normal, -1)
    return {
        "brake_support_angle": slope_angle(reading.forward * at_contact[:, 0], rise),
        "drive_support_angle": slope_angle(reading.forward * velocity[:, 0], rise),
    }


def _centre(reading: AxleKinematics, side: SideName) -> Array:
    return reading.point(side, "wheel")
