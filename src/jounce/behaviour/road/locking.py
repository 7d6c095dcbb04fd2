"""Which axle's wheels lock first in braking straight ahead, and from where.

An axle locks where its share of the braking asks for more of its load than the road gives. The two ask for the same
share of their loads where the brakes share as the loads do: below that the front asks for more, above it the rear.
Source of the comparison: UN Regulation 13-H, annex 5 (adhesion used by each axle: its braking force over its load).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.constants import GRAVITY
from jounce.numerics.rising import first_rise

_LOOKED = np.arange(0.0, 1.2501, 0.05) * GRAVITY


@dataclass(frozen=True, slots=True)
class Locking:
    """Locking of the wheels, decelerations as sizes.

    Attributes:
        first: axle that locks first on this road, "front" or "rear"; None where neither does as far as was looked
        at: deceleration at which it does [m/s²]; None likewise
        rear_asks_more: deceleration from which the rear axle asks for more of its load than the front one; zero where it
            always does, None where it never does as far as was looked [m/s²]
        even: front share of the braking with which both axles lock together on this road [-]; None where the car does not
            rest there
        looked: how far was looked [m/s²]

    """

    first: str | None
    at: float | None
    rear_asks_more: float | None
    even: float | None
    looked: float

    @property
    def front_first_to(self) -> float:
        """Deceleration up to which the front axle asks for more, as far as was looked [m/s²]."""
        return self.looked if self.rear_asks_more is None else self.rear_asks_more


def locking(car: RoadCar) -> Locking:
    """Work out which axle locks first.

    Args:
        car: the car, its brakes sharing as its driveline says
    """
    friction, share = car.driveline.friction, car.driveline.brake_front_share
    rest = at_rest(car, steady(0.0, -np.append(_LOOKED, friction * GRAVITY)))
    size, load = _LOOKED[rest.reached[:-1]], rest.acted.load[:-1].sum(axis=2)[rest.reached[:-1]]
    force = car.mass * size[:, None] * np.array([share, 1 - share])
    carries = np.maximum(load, 1e-9)
    asked = force / carries
    locks = [first_rise(size, asked[:, axle] - friction) for axle in (0, 1)]
    known = {name: at for name, at in zip(("front", "rear"), locks, strict=True) if at is not None}
    first = min(known, key=lambda name: known[name], default=None)
    at_limit = rest.acted.load[-1].sum(axis=1)
    even = float(at_limit[0] / at_limit.sum()) if rest.reached[-1] else None
    more = first_rise(size, (1 - share) * carries[:, 0] - share * carries[:, 1]) if len(size) else None
    looked = float(size[-1]) if len(size) else 0.0
    return Locking(first, None if first is None else known[first], more, even, looked)
