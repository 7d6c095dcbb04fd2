"""The car over an obstacle in time: real damper curves, stops, tyres that lift off; see `moving_car` for the mechanics."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
import scipy  # its rooms open on use: integration is slow to import, and few drive over anything

from jounce.behaviour.ride.car_arrays import car_data, moving_axles, ready_to_move, room_for
from jounce.behaviour.ride.dampers import Curves
from jounce.behaviour.ride.moving_car import FREEDOMS, WHEELS, CarData, accelerations
from jounce.behaviour.ride.obstacles import Profile
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.road_car import RoadCar
from jounce.conventions.axes import Corner
from jounce.conventions.errors import Impossible, NotConverged
from jounce.layouts.naming import SIDES
from jounce.numerics.arrays import Array, BoolArray

METHOD: Final = "LSODA"
"""SciPy's integrator: the quickest of its methods at equal accuracy here, see the page on time histories."""
RELATIVE, ABSOLUTE = 1e-6, 1e-8
"""Tolerances asked of it; the absolute one in metres and radians, and a hundred times that in their speeds."""
BEFORE = 0.1
"""Driven on the level before the obstacle [s]."""
_LONGEST_STEP = 0.01  # so that no obstacle is stepped over [s]


@dataclass(frozen=True, slots=True)
class TimeHistory:
    """A drive over an obstacle, states evenly in time; wheels are front left, front right, rear left, rear right.

    Attributes:
        car: the car as it was driven, its axles tabulated
        data: the same as arrays
        road: the obstacle
        time: since the front wheels' middle met the obstacle's beginning, shape (states,) [s]
        freedoms: heave, pitch, roll, travels, shape (states, 7) [m or rad]
        speeds: their speeds, same shape
        accelerations: their accelerations, same shape
        ground: height of the road under each wheel as it rolls over, shape (states, 4) [m]
        load: tyre loads, zero off the road, same shape [N]
        rod_speed: dampers' rod speeds, positive in bump, same shape [m/s]
        rod_force: forces that resist them, same shape [N]
        elements: force of every spring, bar and stop by name, each (states,) [N or N m]
        road_work: what the road has put in since the start, shape (states,) [J]
        dissipated: what the dampers have taken, shape (states,) [J]

    """

    car: RoadCar
    data: CarData
    road: Profile
    time: Array
    freedoms: Array
    speeds: Array
    accelerations: Array
    ground: Array
    load: Array
    rod_speed: Array
    rod_force: Array
    elements: Mapping[str, Array]
    road_work: Array
    dissipated: Array

    @property
    def corners(self) -> tuple[Corner, ...]:
        """Axle and side of each wheel."""
        return tuple((name, side) for name in self.car.names for side in SIDES)

    @property
    def travel(self) -> Array:
        """Wheel travels from as found, shape (states, 4) [m]."""
        return self.freedoms[:, 3:]

    @property
    def off_the_road(self) -> BoolArray:
        """Which wheels have left the road, shape (states, 4)."""
        return np.asarray(self.load <= 0.0)

    def body_acceleration(self, at: Array) -> Array:
        """Vertical acceleration of a point of the body, shape (states,) [m/s²].

        Args:
            at: the point, body axes as found, shape (3,) [m]
        """
        (cp, sp), (cr, sr) = ((np.cos(angle), np.sin(angle)) for angle in self.freedoms[:, 1:3].T)
        x, y, z = at
        above, aside = sr * y + cr * z, cr * y - sr * z  # height over the pitch axis, and how roll lifts it
        pitching, rolling = self.speeds[:, 1], self.speeds[:, 2]
        grown = self.accelerations
        return np.asarray(
            grown[:, 0]
            - grown[:, 1] * (cp * x + sp * above)
            + grown[:, 2] * cp * aside
            + pitching**2 * (sp * x - cp * above)
            - 2 * pitching * rolling * sp * aside
            - rolling**2 * cp * above
        )


def drive_over(  # noqa: PLR0913, PLR0917  # each a plain fact of the drive
    car: RoadCar,
    curves: Curves,
    own_inertia: Array,
    road: Profile,
    speed: float,
    duration: float = 3.0,
    samples: float = 500.0,
) -> TimeHistory:
    """Drive a car over an obstacle, at a steady speed, steering straight ahead.

    Args:
        car: the car
        curves: force over speed of all four dampers
        own_inertia: principal moments of its body, see `inertia.body_inertia` [kg m²]
        road: the obstacle
        speed: of the car [m/s]
        duration: from the front wheels' meeting it [s]
        samples: states told per second [1/s]

    Raises:
        Impossible: the car finds no rest to start from, or a wheel goes farther than its linkage
        NotConverged: the integration stopped
    """
    moving = ready_to_move(car)
    rest = at_rest(moving, steady())
    if not rest.reached[0]:
        raise Impossible("The car finds no rest on its wheels: a spring may be far too soft, short or loose.")
    data = car_data(moving, curves, own_inertia, road, speed)
    start = np.concatenate((rest.freedoms[0], np.zeros(FREEDOMS + 2)))
    return _integrated(
        moving, data, road, start, np.linspace(-BEFORE, duration, round((BEFORE + duration) * samples) + 1)
    )


def let_go(car: RoadCar, curves: Curves, own_inertia: Array, start: Array, time: Array) -> TimeHistory:
    """Let a car go from some state on a level road: it swings back to rest.

    Args:
        car: the car
        curves: force over speed of all four dampers
        own_inertia: principal moments of its body [kg m²]
        start: freedoms and their speeds, shape (14,) [m, rad, m/s, rad/s]
        time: rising, from zero, shape (states,) [s]
    """
    level = Profile("level road", np.zeros(2), np.zeros(2))
    moving = ready_to_move(car)
    data = car_data(moving, curves, own_inertia, level, 0.0)
    return _integrated(moving, data, level, np.concatenate((start, np.zeros(2))), time)


def _integrated(car: RoadCar, data: CarData, road: Profile, start: Array, time: Array) -> TimeHistory:
    acting = room_for(data)

    def growth(at: float, state: Array) -> Array:
        grown = accelerations(at, state, data, acting)
        return np.concatenate((state[FREEDOMS : 2 * FREEDOMS], grown, acting.power))

    small = np.concatenate((np.full(FREEDOMS, ABSOLUTE), np.full(FREEDOMS, 100 * ABSOLUTE), np.full(2, 1e4 * ABSOLUTE)))
    run = scipy.integrate.solve_ivp(
        growth, (time[0], time[-1]), start, METHOD, time, rtol=RELATIVE, atol=small, max_step=_LONGEST_STEP
    )
    if not run.success:
        raise NotConverged(f"The drive over the {road.name} stopped at {run.t[-1]:.3f} s: {run.message}")
    states = np.ascontiguousarray(run.y.T)
    _check_reach(car, states)
    grown, each, elements = _told(time, states, data)
    named_elements = {
        name: elements[:, slot, k] for slot, axle in enumerate(car.axles) for k, name in enumerate(axle.axle.elements)
    }
    freedoms, speeds = states[:, :FREEDOMS], states[:, FREEDOMS : 2 * FREEDOMS]
    load, ground, rod_speed, rod_force = each.transpose(1, 0, 2)
    return TimeHistory(
        car,
        data,
        road,
        time,
        freedoms,
        speeds,
        grown,
        ground,
        load,
        rod_speed,
        rod_force,
        named_elements,
        states[:, -2],
        states[:, -1],
    )


def _told(time: Array, states: Array, data: CarData) -> tuple[Array, Array, Array]:
    """Accelerations (states, 7); loads, ground, rod speeds and forces (states, 4, 4); elements (states, 2, most)."""
    acting = room_for(data)
    grown, each = np.zeros((len(time), FREEDOMS)), np.zeros((len(time), 4, WHEELS))
    elements = np.zeros((len(time), *acting.element.shape))
    for n, at in enumerate(time):
        grown[n] = accelerations(at, states[n], data, acting)
        each[n] = acting.load, acting.ground, acting.rod_speed, acting.rod_force
        elements[n] = acting.element
    return grown, each, elements


def _check_reach(car: RoadCar, states: Array) -> None:
    """Refuse a drive in which a wheel went where nothing is known of its linkage."""
    for slot, axle in enumerate(moving_axles(car)):
        travel = states[:, 3 + 2 * slot : 5 + 2 * slot]
        if not axle.table.covers(travel).all():
            low, high = (edge[0] * 1e3 for edge in (axle.table.origin, axle.table.end))
            raise Impossible(
                f"A {car.names[slot]} wheel goes from {travel.min() * 1e3:.0f} to {travel.max() * 1e3:.0f} mm; its linkage "
                f"is known from {low:.0f} to {high:.0f} mm. Give the lengths of the dampers and the bump rubbers, which "
                "end the travel, or drive slower."
            )
