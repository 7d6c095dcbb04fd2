"""Lateral load transfer of each axle by its parts: unsprung, geometric, elastic.

An axle's two loads follow from the balance of its two wheel travels, ``sum_k F_k dh_k/du_i = sum of works``. So they
split exactly into what elements (elastic), the road's forces along the wheels' paths (geometric) and the wheels' own
masses (unsprung) ask for. The lateral inertia of the wheels is met where they stand on the road: what is left of it is
a couple, which is the unsprung part.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.behaviour.road.attitude import attitude
from jounce.behaviour.road.equilibrium import AtRest
from jounce.behaviour.road.forces import AHEAD, elastic_pull, shaft_work
from jounce.behaviour.road.loading import Loading
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.solving import solved
from jounce.conventions.constants import GRAVITY
from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross


@dataclass(frozen=True, slots=True)
class Transfer:
    """Load moved from the left to the right wheel of front and rear axle, each shape (states, 2) [N]."""

    unsprung: Array
    geometric: Array
    elastic: Array

    @property
    def total(self) -> Array:
        """The three parts together, shape (states, 2) [N]."""
        return np.asarray(self.unsprung + self.geometric + self.elastic)

    def beyond(self, rest: Transfer) -> Transfer:
        """What is more than in another state (as the car stands, nothing is symmetric)."""
        return Transfer(self.unsprung - rest.unsprung, self.geometric - rest.geometric, self.elastic - rest.elastic)


def transfer(car: RoadCar, rest: AtRest, acting: Loading) -> Transfer:
    """Split the loads of both axles in a batch of states.

    Args:
        car: the car
        rest: states at rest
        acting: what happened to the car in them
    """
    split = [_axle(car, rest, acting, axle) for axle in (0, 1)]
    return Transfer(*(np.stack([part[k] for part in split], -1) for k in range(3)))


def _axle(car: RoadCar, rest: AtRest, acting: Loading, axle: int) -> tuple[Array, Array, Array]:
    path, now = rest.paths[axle], rest.acted
    body = attitude(*rest.freedoms[:, :3].T)

    def on_road(rate: Array) -> Array:
        return np.asarray(np.einsum("nij,nsju->nsiu", body.rotation, rate))

    moved, swung, turned = on_road(path.centre_rate), on_road(path.axis_rate), on_road(path.turn_rate)
    axis, offset = now.axis[:, axle], now.foot[:, axle] - now.centre[:, axle]
    lean = car.radius[axle] * axis[..., 2] / np.sqrt(1 - axis[..., 2] ** 2)
    rising = moved[:, :, 2] + lean[..., None] * swung[:, :, 2]
    at_foot = moved + np.stack([cross(turned[..., k], offset) for k in (0, 1)], -1)

    own = car.unsprung[axle] * acting.across[:, None]  # what each wheel's own mass takes of its lateral force
    sideways = now.lateral[:, axle] - own
    geometric = np.einsum("ns,nsu->nu", sideways, at_foot[:, :, 1]) + np.einsum(
        "ns,nsu->nu", now.ahead[:, axle], at_foot[:, :, 0]
    )
    if not car.live(axle):
        drive = np.maximum(now.ahead[:, axle], 0.0)[..., None] * AHEAD
        geometric = geometric - shaft_work(offset, drive, axis, turned)
    mass = car.unsprung[axle]
    unsprung = (
        np.einsum("ns,nsu->nu", own, at_foot[:, :, 1] - moved[:, :, 1])
        - np.einsum("s,n,nsu->nu", mass, acting.ahead, moved[:, :, 0])
        - GRAVITY * np.einsum("s,nsu->nu", mass, moved[:, :, 2])
    )
    asked = (-unsprung, -geometric, elastic_pull(car, axle, path))
    lever = rising.transpose(0, 2, 1)  # [state, travel, wheel]
    return tuple(_to_the_right(lever, part) for part in asked)  # type: ignore[return-value]


def _to_the_right(lever: Array, asked: Array) -> Array:
    load = solved(lever, asked[..., None])[..., 0]
    return np.asarray(0.5 * (load[:, 1] - load[:, 0]))
