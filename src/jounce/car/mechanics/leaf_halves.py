"""How far the eyes of a car's leaf lie from its seat."""

from __future__ import annotations

import math

from jounce.car.axles.axle import Axle
from jounce.car.mechanics.layout_input import SIDE_OF
from jounce.layouts.naming import SideName

__all__ = ["leaf_halves"]


def leaf_halves(section: Axle, side: SideName) -> tuple[float, float]:
    """Front and rear half of a leaf, straight from seat to eye as the car was measured [m].

    Args:
        section: the axle's document, sprung by leaves
        side: which leaf
    """
    pivots = section.side(SIDE_OF[side]).pivots
    seat, front, rear = ((p.x, p.y, p.z) for p in (pivots.leaf_seat, pivots.front_eye, pivots.rear_eye))
    return math.dist(seat, front), math.dist(seat, rear)
