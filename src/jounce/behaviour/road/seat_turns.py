"""What moving a spring seat does to heights and corner weights: the whole car settled before and after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.static_car import settle
from jounce.behaviour.road.weigh import with_settings
from jounce.conventions.axes import CORNERS, Corner

__all__ = ["SeatEffect", "seat_effects"]


@dataclass(frozen=True, slots=True)
class SeatEffect:
    """A seat raised by ``rise`` [m]: how much higher the body then stands over each wheel [m], and each load's change [N].

    Heights are of the body above the wheel centres, as they are measured at the arches.
    """

    corner: Corner
    rise: float
    height: Mapping[Corner, float]
    load: Mapping[Corner, float]


def seat_effects(car: RoadCar, rises: Mapping[Corner, float]) -> list[SeatEffect]:
    """Turn one seat after the other and let the car settle again each time.

    What comes out is neither the seat's own travel nor that divided by a motion ratio: the corner gives on its spring and
    on its tyre, the other three carry the difference, and the anti-roll bars hand it across.

    Args:
        car: the car, parts and settings complete
        rises: how much further up each spring's seat is set, along the spring [m]

    Raises:
        Impossible: the car finds no rest before or after
    """
    before, effects = settle(car), []
    for corner, rise in rises.items():
        setting = np.array([rise if one == corner else 0.0 for one in CORNERS]).reshape(2, 2)
        after = settle(with_settings(car, setting))
        higher = {one: before.travel[one] - after.travel[one] for one in CORNERS}
        more = {one: after.load[one] - before.load[one] for one in CORNERS}
        effects.append(SeatEffect(corner, rise, higher, more))
    return effects
