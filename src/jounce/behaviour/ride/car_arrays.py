"""A car, its dampers and a road as plain arrays for `moving_car`: laws sampled finely, geometry from tables."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from jounce.behaviour.ride.dampers import Curves
from jounce.behaviour.ride.moving_car import WHEELS, ActingLoads, AxleData, CarData, Curve
from jounce.behaviour.ride.obstacles import GRID, Profile
from jounce.behaviour.road.axle_path import AxleOnBody, damper_measures
from jounce.behaviour.road.axle_table import MEASURE, TabulatedAxle, tabulated
from jounce.behaviour.road.road_car import RoadCar
from jounce.elements.law import ElementLaw, OneSided
from jounce.elements.piecewise import monotone_slopes
from jounce.layouts.naming import SIDES, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array

HARD_RATE = 1e6
"""Rate of a damper that is closed or topped out: metal on metal with what gives around it; common practice [N/m]."""

_LAW_POINTS = 4001
_FASTEST, _SPEED_POINTS = 6.0, 4801  # rod speeds sampled each way [m/s]: every 2.5 mm/s
_DEEPEST, _HIGHEST = 0.12, 0.30  # tyre deflection, and height off the road, sampled [m]


def car_data(car: RoadCar, curves: Curves, own_inertia: Array, road: Profile, speed: float) -> CarData:
    """Everything as arrays.

    Args:
        car: the car, see `ready_to_move`
        curves: force over speed of all four dampers
        own_inertia: principal moments of the body, see `inertia.body_inertia` [kg m²]
        road: what it drives over
        speed: of the car [m/s]
    """
    front, rear = moving_axles(car)
    masses, places = car.body_masses()
    body = masses.sum()
    middle = masses @ places / body
    apart = places - middle
    own = np.diag(own_inertia) + np.einsum("m,mij->ij", masses, _resisting(apart))
    return CarData(
        _axle_data(front, curves),
        _axle_data(rear, curves),
        np.append(body, car.unsprung.ravel()),
        middle,
        own,
        car.radius.ravel().copy(),
        car.road_height.ravel().copy(),
        _tyres(car),
        _ground(car, (front, rear), road),
        float(speed),
    )


def room_for(data: CarData) -> ActingLoads:
    """Room for what acts in one state."""
    most = max(len(data.front.place), len(data.rear.place), 1)
    load, ground, rod_speed, rod_force = np.zeros((4, WHEELS))
    return ActingLoads(load, ground, rod_speed, rod_force, np.zeros((2, most)), np.zeros(2))


def moving_axles(car: RoadCar) -> tuple[TabulatedAxle, TabulatedAxle]:
    """Both axles of a car that is ready to move."""
    front, rear = car.axles
    if not isinstance(front, TabulatedAxle) or not isinstance(rear, TabulatedAxle):
        raise TypeError("a car in motion stands on tabulated axles: make it ready to move")
    return front, rear


def ready_to_move(car: RoadCar) -> RoadCar:
    """The car on tabulated axles, dampers that are closed or topped out among its elements as hard springs.

    Args:
        car: the car
    """
    front, rear = (axle if isinstance(axle, TabulatedAxle) else tabulated(axle) for axle in car.axles)
    return replace(car, axles=(_with_stops(front), _with_stops(rear)))


def _with_stops(on_body: TabulatedAxle) -> TabulatedAxle:
    axle, found = on_body.axle, {}
    for stop in axle.stops:
        if stop.hard and stop.quantity == "damper_length" and stop.name.startswith("damper"):
            measure = damper_measures(axle)[SIDES.index(stop.side)]
            limit = float(np.ravel(stop.limit)[0])
            found[named(axle.name, stop.side, stop.name)] = Element(measure, OneSided(HARD_RATE), stop.sense, limit)
    return on_body.carrying(axle.with_elements(found))


def _resisting(apart: Array) -> Array:
    square = (apart**2).sum(axis=1)[:, None, None] * np.eye(3)
    return np.asarray(square - apart[:, :, None] * apart[:, None, :])


def _axle_data(axle: TabulatedAxle, curves: Curves) -> AxleData:
    elements = list(axle.axle.elements.values())
    places = [MEASURE + axle.measured.index(element.measure) for element in elements]
    zeros = np.array([float(np.ravel(element.zero)[0]) for element in elements])
    ranges = [_displacements(axle, element, place) for element, place in zip(elements, places, strict=True)]
    name = axle.axle.name
    return AxleData(
        axle.table.corners,
        axle.table.origin,
        axle.table.step,
        np.array(places, dtype=np.intp),
        np.array([element.sense for element in elements]),
        zeros,
        _sampled([element.law for element in elements], ranges),
        np.array([MEASURE + axle.measured.index(rod) for rod in damper_measures(axle.axle)], dtype=np.intp),
        _dampers([curves[name, side].force for side in SIDES]),
    )


def _displacements(axle: TabulatedAxle, element: Element, place: int) -> tuple[float, float]:
    """Range of an element's displacement over the whole table."""
    every = np.ravel(element.displacement(axle.table.corners[:, :, 0, place].ravel()))
    return float(every.min()), float(every.max())


def _sampled(laws: Sequence[ElementLaw], ranges: Sequence[tuple[float, float]]) -> Curve:
    grids = [np.linspace(low, high, _LAW_POINTS) for low, high in ranges]
    steps = np.array([grid[1] - grid[0] for grid in grids])
    points = [
        np.stack((np.broadcast_to(law.force(x), x.shape), np.broadcast_to(law.stiffness(x), x.shape) * h), -1)
        for law, x, h in zip(laws, grids, steps, strict=True)
    ]
    return Curve(np.array([grid[0] for grid in grids]), steps, np.ascontiguousarray(np.stack(points), dtype=float))


def _dampers(forces: Sequence[Callable[[Array], Array]]) -> Curve:
    """Damper forces over rod speed: a knee stays sharp to a grid step, and no force overshoots it."""
    speed = np.linspace(-_FASTEST, _FASTEST, _SPEED_POINTS)
    step = float(speed[1] - speed[0])
    points = []
    for force in forces:
        value = force(speed)
        points.append(np.stack((value, monotone_slopes(speed, value) * step), -1))
    return Curve(np.full(len(points), speed[0]), np.full(len(points), step), np.ascontiguousarray(np.stack(points)))


def _tyres(car: RoadCar) -> Curve:
    laws = [tyre.law for pair in car.tyres for tyre in pair]
    ranges = [(-_HIGHEST, _DEEPEST)] * len(laws)
    return _sampled(laws, ranges)


def _ground(car: RoadCar, axles: tuple[AxleOnBody, AxleOnBody], road: Profile) -> Curve:
    """Heights under each wheel over the way driven since the front wheels' mean met the obstacle's beginning."""
    still = np.zeros((1, 2))
    x = np.concatenate([axle.at(still)[0].centre[0, :, 0] for axle in axles])
    front = x[:2].mean()
    heights, starts = [], []
    for wheel, radius in enumerate((car.radius + car.unloaded).ravel()):
        rolled = road.rolled(float(radius))
        heights.append(rolled.left if wheel % 2 == 0 else rolled.right)
        starts.append(front - x[wheel] - GRID * np.ceil(radius / GRID))
    longest = max(len(h) for h in heights)
    every = np.stack([np.concatenate((h, np.full(longest - len(h), h[-1]))) for h in heights])
    slope = np.gradient(every, axis=1)
    slope[:, [0, -1]] = 0.0
    points = np.ascontiguousarray(np.stack((every, slope), -1))
    return Curve(np.array(starts), np.full(WHEELS, GRID), points)
