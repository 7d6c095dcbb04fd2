"""Corner loads that a car will have at wanted heights and cross weight."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jounce.behaviour.solving import solved
from jounce.behaviour.whole_car import Corner
from jounce.layouts.naming import SIDES

CORNERS: tuple[Corner, ...] = tuple((axle, side) for axle in ("front", "rear") for side in SIDES)


def wanted_loads(found: Mapping[Corner, float], cross_share: float, front_gain: float = 0.0) -> dict[Corner, float]:
    """Loads with the axle and side sums of the car, and the cross weight wanted.

    Springs cannot change the front, rear, left or right sums; only the cross weight is theirs to set.

    Args:
        found: wheel loads as found [N]
        cross_share: wanted share on the front right and rear left wheels [-]
        front_gain: load that pitching moves to the front axle [N]

    Returns:
        Wheel loads [N]
    """
    total = sum(found.values())
    front = found["front", "left"] + found["front", "right"] + front_gain
    left = found["front", "left"] + found["rear", "left"]
    matrix = np.array([[1, 1, 0, 0], [1, 0, 1, 0], [1, 1, 1, 1], [0, 1, 1, 0]], dtype=np.float64)
    loads = solved(matrix, np.array([front, left, total, cross_share * total]))
    return dict(zip(CORNERS, map(float, loads), strict=True))
