"""Everything that riding tells of a car, worked out."""

from __future__ import annotations

import numpy as np

from jounce.behaviour.bands_of_ride import ride_bands
from jounce.behaviour.ride.dampers import at_swinging, dampers_of
from jounce.behaviour.ride.flat_ride import flat_ride
from jounce.behaviour.ride.inertia import body_inertia, whole_inertia
from jounce.behaviour.ride.modes import modes, ride_ends
from jounce.behaviour.ride.obstacles import Profile, bump
from jounce.behaviour.ride.random_ride import random_ride
from jounce.behaviour.ride.road_surface import road_class
from jounce.behaviour.ride.small_motions import small_motions
from jounce.behaviour.ride.time_history import drive_over
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.job.on_road import CarInState
from jounce.questions.ride_tables import BUMP_TOLD, SWING_SPEED, Ridden

__all__ = ["ridden"]


def ridden(
    title: str,
    document: CarDocument,
    state: CarInState | RoadCar,
    road: tuple[str, float],
    over: tuple[Profile, float] | None,
) -> Ridden:
    """Everything that riding tells of a car.

    Args:
        title: what it is called beside others
        document: the car
        state: the same on its road; with how it varies its numbers carry bands
        road: class of the road by ISO 8608, and the speed on it [m/s]
        over: what is driven over, and the speed there [m/s]; None for nothing
    """
    car = state.road if isinstance(state, CarInState) else state
    surface, speed = road
    whole = whole_inertia(document)
    own = body_inertia(car, whole)
    motions = small_motions(car, own)
    dampers = dampers_of(document)
    known = not dampers.unknown
    seat = np.array([motions.foot[:2, 0].mean() - 0.5 * motions.wheelbase, 0.35, 0.45])
    damping = {c: at_swinging(k, SWING_SPEED) for c, k in dampers.curves.items()} if known else None
    system = None if damping is None else motions.damped(damping)
    ends = ride_ends(motions)
    return Ridden(
        title=title,
        motions=motions,
        inertia=whole,
        own_inertia=own,
        dampers=dampers,
        modes=modes(motions, system),
        ends=ends,
        flat=flat_ride(motions, ends, speed, bump(BUMP_TOLD, 1.0), system),
        random=random_ride(motions, dampers.curves, road_class(surface), speed, seat) if known else None,
        history=drive_over(car, dampers.curves, own, over[0], over[1]) if known and over is not None else None,
        seat=seat,
        bands=ride_bands(state.varies, state.slopes, motions, damping) if isinstance(state, CarInState) else {},
    )
