"""A car put to rest on its tyres, and what a workshop reads of it there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jounce.behaviour.axle.motions import AxleStates
from jounce.behaviour.axle.static import StaticAxle, axle_sits
from jounce.behaviour.axle.travel import column_map, states_table
from jounce.behaviour.road.road_car import RoadCar
from jounce.behaviour.road.static_car import StaticCar, settle
from jounce.car.mechanics.model import AXLES, AxleName
from jounce.layouts.naming import SIDES

__all__ = ["Stood", "stand"]


@dataclass(frozen=True, eq=False)
class Stood:
    """A car at rest.

    Without slots, since what is read of it is kept.

    Attributes:
        car: the car
        sits: where it stands, and what its tyres carry

    """

    car: RoadCar
    sits: StaticCar

    def lower(self, axle: AxleName) -> float:
        """Mean travel of an axle's wheels from as found: how much lower the body stands there [m].

        Args:
            axle: front or rear
        """
        return float(np.mean([self.sits.travel[axle, side] for side in SIDES]))

    def states(self, axle: AxleName) -> AxleStates:
        """Where an axle stands, its body's attitude, and what is adjusted on it.

        Args:
            axle: front or rear
        """
        left, right = (self.sits.travel[axle, side] for side in SIDES)
        settings = self.car.axles[AXLES.index(axle)].settings
        return AxleStates(left=left, right=right, settings=settings, attitude=(self.sits.pitch, self.sits.roll))

    @cached_property
    def axles(self) -> Mapping[AxleName, StaticAxle]:
        """Loads, rates, frequencies and roll stiffness of both axles."""
        models = dict(zip(AXLES, (on_body.axle for on_body in self.car.axles), strict=True))
        return {axle: axle_sits(model, self.states(axle), look_for_slack=False) for axle, model in models.items()}

    @property
    def front_share(self) -> float:
        """Front share of the roll stiffness, tyres excluded [-]."""
        front, rear = (self.axles[axle].roll_stiffness for axle in AXLES)
        return front / (front + rear)

    def of_wheels(self, axle: AxleName, figure: str) -> float:
        """Mean of both wheels' figure where the car stands [SI].

        Args:
            axle: front or rear
            figure: a figure of `StaticWheel`
        """
        return float(np.mean([getattr(self.axles[axle].wheels[side], figure) for side in SIDES]))

    def geometry(self, axle: AxleName, groups: tuple[str, ...]) -> Mapping[str, float]:
        """Quantities of an axle where the car stands, both wheels rising together [SI].

        Args:
            axle: front or rear
            groups: their groups
        """
        model = self.car.axles[AXLES.index(axle)].axle
        table = states_table(model.stand, model.linkage, self.states(axle), (1.0, 1.0), groups=groups)
        return {name: float(values[0]) for name, values in column_map(table).items()}


def stand(car: RoadCar) -> Stood:
    """Put a car to rest.

    Args:
        car: the car, parts and settings complete

    Raises:
        Impossible: it finds no rest
    """
    return Stood(car, settle(car))
