"""Both axles against a general multibody library: the same pivots, solved by somebody else's joints and Newton.

Source of the second method: exudyn (J. Gerstmayr, University of Innsbruck), static solution of a fully constrained
rigid-body system in Euler parameters.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from jounce.behaviour.motions import AxleStates, place_axle
from jounce.linkage.tree import Direction, Point
from tests.demo_axles import BEAM, beam_axle, side_points, strut_axle, strut_corners
from tests.verification.multibody import SIDES, axis_from_angles, beam_multibody, strut_multibody

POSITION = 1e-9
"""Agreement asked for [m]: a millionth of a millimetre."""

ANGLE = 1e-6
"""Agreement asked for [deg]."""

TRAVEL = np.linspace(-0.07, 0.07, 7)
ROLL = np.radians([-4.0, -2.0, 2.0, 4.0])

HEAVE_AND_ROLL = {
    "heave": AxleStates(left=TRAVEL, right=TRAVEL),
    "opposite": AxleStates(left=TRAVEL, right=-TRAVEL),
    "roll": AxleStates(roll=ROLL, heave=0.0),
    "roll in bump": AxleStates(roll=ROLL, heave=0.03),
}
STEERED = {
    "rack": AxleStates(rack=np.linspace(-0.06, 0.06, 7)),
    "rack in roll": AxleStates(left=-0.05, right=0.04, rack=np.array([-0.06, 0.06])),
    "rack in bump": AxleStates(left=0.07, right=0.07, rack=np.array([-0.06, 0.06])),
}

ROD = (np.array([-2.400, 0.430, 0.330]), np.array([-2.400, -0.420, 0.290]))
BEAM_ANGLES = (np.radians(-0.75), np.radians(0.1))

STRUT_POINTS = {"wheel_centre": "knuckle", "strut_foot": "knuckle", "tie_rod_outer": "knuckle", "ball_joint": "arm"}


def angle_between(one, other):
    """Angle between directions [deg], exact for small ones."""
    return np.degrees(np.arctan2(np.linalg.norm(np.cross(one, other)), np.dot(one, other)))


def wheel_angles(axis, side):
    """Camber, toe and steer [deg] of an axis that points left, from the engineering definitions."""
    x, y, z = axis
    lean, turn = np.degrees(np.arctan2(-z, y)), np.degrees(np.arctan2(-x, y))
    return {"camber": lean, "toe": -turn, "steer": turn} if side == "left" else {
        "camber": -lean, "toe": turn, "steer": turn
    }


def drives(stand, axle, states, placed):
    """What the multibody model is driven by, state by state: wheel travels as reported, and the rack as given."""
    travel = stand.taken([f"{axle}.{side}.travel" for side in SIDES]).values(placed.pose)
    rack = np.broadcast_to(states.rack, len(travel))
    return [{"left": left, "right": right, "rack": slid} for (left, right), slid in zip(travel, rack, strict=True)]


def disagreement(axle, stand, model, states, points, axes):
    """Largest distance between points [m] and largest angle [deg] (axes, camber, toe, steer) over all states.

    Args:
        axle: name of the axle
        stand: the program's mechanism
        model: the multibody model
        states: what is driven
        points: the program's body, the model's body and the point as found
        axes: the model's body and the wheel's axis as found, by side

    """
    placed = place_axle(stand, axle, states)
    assert placed.reached.all()
    carrier = {"front": "front.{}.knuckle", "rear": "{}"}[axle]
    distance, angle = 0.0, 0.0
    ours = [stand.position(placed.pose, Point(body, at)) for body, _, at in points]
    turned = {
        side: stand.direction(placed.pose, Direction(carrier.format(axes[side][2]), axes[side][1])) for side in SIDES
    }
    names = [f"{axle}.{side}.{thing}" for side in SIDES for thing in ("camber", "toe", "steer")]
    measured = np.degrees(stand.taken(names).values(placed.pose))
    for i, wanted in enumerate(drives(stand, axle, states, placed)):
        model.solve(wanted)
        for (_, body, at), mine in zip(points, ours, strict=True):
            distance = max(distance, np.linalg.norm(model.position(body, at) - mine[i]))
