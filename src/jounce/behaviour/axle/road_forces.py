"""Where the road's forces take hold of a wheel: measures whose gradients turn a force into generalised forces.

A force at the contact point acts on the carrier, as if the wheel were locked to it: so do a braked wheel's force, and
any sideways or upward one. A force at the wheel centre leaves the wheel free to turn: a driven wheel's, whose torque
is reacted inboard. A turning moment acts about the road's normal. All are in the road's axes.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from jounce.layouts.axle import AxleLinkage, road_body
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.measures import AnyMeasure, Bearing, Component
from jounce.linkage.mechanism import Mechanism
from jounce.linkage.tree import GROUND, Direction, Point, Pose, Segment
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import X, Y, Z, unit

Act = Literal["x", "y", "z", "hub", "turn"]
ACTS: tuple[Act, ...] = ("x", "y", "z", "hub", "turn")
"""Force at the contact point forward, to the left, up; forward at the wheel centre; moment about the road's normal."""


def road_forces(linkage: AxleLinkage, stand: Mechanism, pose: Pose) -> Mechanism:
    """The axle's bodies with a measure for each force, about a batch of poses.

    Args:
        linkage: how the axle was laid out
        stand: the axle on its stand
        pose: states about which the forces act

    Returns:
        A mechanism without joints whose measures, named by :func:`act_name`, move with the point that a force takes
        hold of; the points are those of each state [m or rad]. ``…wind_up`` is the carrier's turn about the car's y
        axis, positive as its top goes rearward [rad]

    """
    measures: dict[str, AnyMeasure] = {}
    for side in SIDES:
        measures |= _wheel_forces(linkage, stand, pose, side)
    return Mechanism(stand.tree.bodies[1:], {}, measures)


def act_name(axle: str, side: SideName, act: Act) -> str:
    """Name of the measure through which a force acts.

    Args:
        axle: name of the axle
        side: side of the wheel
        act: which force

    """
    return named(axle, side, f"road_force_{act}")


def contact_points(linkage: AxleLinkage, stand: Mechanism, pose: Pose, side: SideName) -> Array:
    """Where a wheel stands on the road, car axes, shape (states, 3) [m]."""
    return stand.taken([named(linkage.axle, side, f"contact_{axis}") for axis in "xyz"]).values(pose)


def axes_of(stand: Mechanism, pose: Pose, body: str) -> Array:
    """Where a body's own axes point, as columns, shape (states, 3, 3) [-]."""
    return np.stack([stand.direction(pose, Direction(body, axis)) for axis in (X, Y, Z)], -1)


def _wheel_forces(linkage: AxleLinkage, stand: Mechanism, pose: Pose, side: SideName) -> dict[str, AnyMeasure]:
    wheel, road = linkage.wheels[side], road_body(linkage.axle)
    carrier = wheel.centre.body
    frame, road_frame = axes_of(stand, pose, carrier), axes_of(stand, pose, road)
    offset = contact_points(linkage, stand, pose, side) - stand.position(pose, wheel.centre)
    foot = Point(carrier, np.asarray(wheel.centre.at) + _turned_back(frame, offset))
    normal = road_frame[..., 2]
    ahead = unit(cross(stand.direction(pose, wheel.axis), normal))
    run = Direction(road, _turned_back(road_frame, ahead))
    rise = Direction(road, _turned_back(road_frame, cross(normal, ahead)))
    origin = Point(GROUND, np.zeros(3))
    measures: dict[Act, AnyMeasure] = {
        "x": Component(Segment(origin, foot), Direction(road, X)),
        "y": Component(Segment(origin, foot), Direction(road, Y)),
        "z": Component(Segment(origin, foot), Direction(road, Z)),
        "hub": Component(Segment(origin, wheel.centre), Direction(road, X)),
        "turn": Bearing(Direction(carrier, _turned_back(frame, ahead)), rise, run),
    }
    upright = Direction(carrier, _turned_back(frame, np.broadcast_to(Z, offset.shape)))
    wound = {named(linkage.axle, side, "wind_up"): Bearing(upright, Direction(GROUND, -X), Direction(GROUND, Z))}
    return wound | {act_name(linkage.axle, side, act): measure for act, measure in measures.items()}


def _turned_back(frame: Array, vector: Array) -> Array:
    """A vector of the ground's axes in a body's own [as given]."""
    return np.asarray(np.einsum("nij,ni->nj", frame, vector))
