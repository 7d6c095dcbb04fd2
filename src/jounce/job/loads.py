"""Corner loads that a car will have at wanted heights and cross weight."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.solving import solved
from jounce.car.file.document import CarDocument
from jounce.conventions.axes import CORNERS, Corner, Side
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array


def wanted_loads(
    found: Mapping[Corner, Array | float], cross_share: Array | float, front_gain: Array | float = 0.0
) -> dict[Corner, Array]:
    """Loads with the axle and side sums of the car, and the cross weight wanted.

    Springs cannot change the front, rear, left or right sums; only the cross weight is theirs to set.

    Args:
        found: wheel loads as found [N]
        cross_share: wanted share on the front right and rear left wheels [-]
        front_gain: load that pitching moves to the front axle [N]

    Returns:
        Wheel loads, each one value or one per variant [N]
    """
    total = sum(found.values())
    front = found["front", "left"] + found["front", "right"] + front_gain
    left = found["front", "left"] + found["rear", "left"]
    matrix = np.array([[1, 1, 0, 0], [1, 0, 1, 0], [1, 1, 1, 1], [0, 1, 1, 0]], dtype=np.float64)
    sums = np.stack(np.broadcast_arrays(front, left, total, cross_share * total))
    return dict(zip(CORNERS, solved(matrix, sums), strict=True))


def loads_at(
    document: CarDocument, found: Mapping[Corner, Array | float], lower: Mapping[Corner, float], cross_share: float
) -> dict[Corner, Array]:
    """Wheel loads at wanted heights, each one value or one per variant [N].

    The body pitches over wheels that roll with it: nose down, its centre of gravity moves forward by the pitch times
    its height above the wheel centres.

    Args:
        document: the planned car
        found: wheel loads as found [N]
        lower: how much lower each corner shall stand [m]
        cross_share: wanted share on the front right and rear left wheels [-]
    """
    nose_down = sum(lower["front", side] - lower["rear", side] for side in SIDES) / 2
    front, rear = (axle.side(Side.LEFT).pivots.wheel_centre for axle in (document.front, document.rear))
    above = document.mass.centre_of_gravity_height.value - (front.z + rear.z) / 2
    gain = sum(found.values()) * above * nose_down / (front.x - rear.x) ** 2
    return wanted_loads(found, cross_share, gain)


def attitude_at(document: CarDocument, lower: Mapping[Corner, float]) -> tuple[float, float]:
    """Pitch and roll that wanted heights give the body over wheels that stand as high as found [rad].

    Args:
        document: the planned car
        lower: how much lower each corner shall stand [m]
    """
    front, rear = (axle.side(Side.LEFT).pivots.wheel_centre for axle in (document.front, document.rear))
    pitch = sum(lower["front", side] - lower["rear", side] for side in SIDES) / 2 / (front.x - rear.x)
    lean = sum(lower[axle, "right"] - lower[axle, "left"] for axle in ("front", "rear"))
    return np.arctan(pitch), np.arctan(lean / (2 * (front.y + rear.y)))
