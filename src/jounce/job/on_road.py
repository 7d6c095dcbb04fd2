"""The cars of a plan on their road, and how sure is what a driver feels of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from jounce.behaviour.bands import RestPlace, Slopes, VariedCar
from jounce.behaviour.bands_in_motion import felt_with_bands, straight_ahead_bands
from jounce.behaviour.road.brake import StraightAhead, straight_ahead
from jounce.behaviour.road.corner import Cornering
from jounce.behaviour.road.feel import Feel, FollowedCar, feel, followed
from jounce.behaviour.road.of_document import car_of
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.job.plan import CarState
from jounce.numerics.arrays import Array

__all__ = ["CarInState", "braked", "car_in", "felt"]


@dataclass(frozen=True, eq=False)
class CarInState:
    """A car as found or as planned; it equals itself alone, so that what was worked out of it can be kept.

    Without slots, since its derivatives are kept too.

    Attributes:
        road: the car on its road
        varies: how it varies by what was measured
        place: where it stands

    """

    road: RoadCar
    varies: VariedCar
    place: RestPlace

    @cached_property
    def slopes(self) -> Slopes:
        """Its derivatives by everything that was measured."""
        return Slopes(self.varies, self.place)

    @cached_property
    def followed(self) -> FollowedCar:
        """Its turns followed to their ends."""
        return followed(self.road)


def car_in(document: CarDocument, state: CarState) -> RoadCar:
    """The car of a plan, as found or as planned.

    Args:
        document: the car with the parts of that state
        state: its axles and where they stand
    """
    settings: dict[str, float] = {}
    for states in state.states.values():
        settings |= {name: float(value) for name, value in (states.settings or {}).items()}
    return replace(car_of(document, *state.models, settings), stands=state.sits.freedoms)


@lru_cache(maxsize=8)
def felt(state: CarInState) -> tuple[Feel, Cornering]:
    """What a driver feels, each number with its band, and the sweep over both turns that says so; some seconds.

    Args:
        state: the car
    """
    told = feel(state.road, state.followed)
    return felt_with_bands(state.varies, state.place, told, state.slopes), told[1]


def braked(state: CarInState, ahead: Array) -> tuple[RoadCar, StraightAhead, Mapping[str, Array]]:
    """The car, what braking and driving straight ahead do to it, and the bands of that.

    Args:
        state: the car
        ahead: accelerations, negative in braking, shape (states,) [m/s²]
    """
    told = straight_ahead(state.road, ahead)
    return state.road, told, straight_ahead_bands(state.varies, state.place, told)
