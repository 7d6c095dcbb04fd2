"""What the tie rods' inner joints sit on: a rack, a relay rod between pitman and idler arm, or the body itself."""

from __future__ import annotations

import numpy as np

from jounce.layouts.builder import BODY, AxleBuilder
from jounce.linkage.measures import Component, CoordinateSum
from jounce.linkage.tree import Direction
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import X, Y, Z, unit

STEERING = ("rack", "box", "none")
"""Words for the choice ``steering``: a rack, a steering box with a relay rod, or tie rods that end on the body."""


def steering_gear(axle: AxleBuilder) -> str:
    """Lay out the steering gear and give the word of the body that carries the tie rods' inner joints.

    A rack is driven by ``rack`` (displacement to the left), a box by ``pitman`` (the pitman arm's angle, positive as
    it moves the relay rod to the left).
    """
    kind = axle.choice("steering")
    if kind == "rack":
        axle.sliding("rack_bar", BODY, np.zeros(3), Y, "rack")
        return "rack_bar"
    if kind == "box":
        _relay(axle)
        return "relay_rod"
    return BODY


def _relay(axle: AxleBuilder) -> None:
    ends = {}
    for arm in ("pitman", "idler"):
        pivot, end = axle.at("steering_box", f"{arm}_pivot"), axle.at("steering_box", f"{arm}_end")
        axle.turning(f"{arm}_arm", BODY, pivot, _leftward_axis(end - pivot))
        axle.draw(f"{arm} arm", (BODY, pivot), (f"{arm}_arm", end))
        ends[arm] = end
    axle.held("pitman", CoordinateSum({axle.body("pitman_arm"): 1.0}))
    axle.free("relay_rod", ends["pitman"])
    for arm, end in ends.items():
        axle.ball(f"{arm}_joint", f"{arm}_arm", "relay_rod", end)
    # Two ball joints leave the relay rod free to spin about its own line, which moves nothing on that line.
    upright = unit(cross(X, ends["pitman"] - ends["idler"]))
    axle.held("relay_spin", Component(Direction(axle.body("relay_rod"), upright), Direction(axle.setting.body, X)))
    axle.draw("relay rod", ("relay_rod", ends["pitman"]), ("relay_rod", ends["idler"]))


def _leftward_axis(lever: Array) -> Array:
    """The upright axis, in the sense of turning that moves the end of a lever to the left."""
    moved = cross(Z, lever)[..., 1:2]
    return np.asarray(np.where(moved.real < 0, -Z, Z))
