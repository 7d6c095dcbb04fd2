"""Flat ride: whether the car stops pitching soon after both axles have crossed the same bump.

M. Olley's finding, restated in textbooks: the rear should swing a little faster than the front (the front at about
80 % of the rear), so that it catches up what it began later. The delay is wheelbase over speed, so a pair of
frequencies is in step at some speeds only.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy  # its rooms open on use

from jounce.behaviour.ride.modes import RideEnds
from jounce.behaviour.ride.obstacles import GRID, Profile
from jounce.behaviour.ride.small_motions import SmallMotions
from jounce.behaviour.ride.vibration import Vibration
from jounce.behaviour.road.forces import PITCH
from jounce.behaviour.solving import solved
from jounce.numerics.arrays import Array

OLLEY_RATIO = 0.80
"""Front over rear ride frequency of the restated criterion [-]."""
_STEP = 0.001  # of the drive over the bump [s]
_AFTER = 2.0  # looked at after the rear axle has left it [s]


@dataclass(frozen=True, slots=True)
class FlatRide:
    """One speed.

    Attributes:
        speed: of the car [m/s]
        delay: of the rear axle behind the front one [s]
        turns: the same in the front end's own swings [-]
        in_step_after: front swings until both ends swing in step; infinite where the rear never catches up [-]
        pitch_left: largest pitch after the rear axle has left the bump, per height of the bump [rad/m]; None without
            dampers

    """

    speed: float
    delay: float
    turns: float
    in_step_after: float
    pitch_left: float | None


def flat_ride(motions: SmallMotions, ends: RideEnds, speed: float, bump: Profile, system: Vibration | None) -> FlatRide:
    """A car's pitching at one speed.

    Args:
        motions: the car about where it sits
        ends: its ride frequencies
        speed: of the car [m/s]
        bump: both wheels of an axle cross it at once
        system: the car with dampers, None where they are not known
    """
    front, rear = ends.frequency
    delay = motions.wheelbase / speed
    in_step = front * rear * delay / (rear - front) if rear > front else np.inf
    left = None if system is None else _pitch_left(motions, system, speed, bump)
    return FlatRide(speed, delay, float(front * delay), float(in_step), left)


def over_profile(
    motions: SmallMotions, system: Vibration, speed: float, road: Profile, duration: float
) -> tuple[Array, Array]:
    """The linear car over an obstacle, exact for heights that go straight from step to step.

    Args:
        motions: the car about where it sits
        system: the same with dampers
        speed: of the car [m/s]
        road: the obstacle
        duration: from the front wheels' meeting it [s]

    Returns:
        Times (steps,) [s], freedoms and their speeds (steps, 14) [m, rad, m/s, rad/s]
    """
    time = np.arange(0.0, duration + _STEP, _STEP)
    ground = heights(motions, speed, road, time)
    n, wheels = system.push.shape
    matrix = np.zeros((2 * n + 2 * wheels, 2 * n + 2 * wheels))
    matrix[: 2 * n, : 2 * n] = system.state_matrix()
    matrix[n : 2 * n, 2 * n : 2 * n + wheels] = solved(system.mass, system.push)
    matrix[2 * n : 2 * n + wheels, 2 * n + wheels :] = np.eye(wheels) / _STEP  # heights and their growth in a step
    once = scipy.linalg.expm(matrix * _STEP)[: 2 * n]
    states = np.zeros((len(time), 2 * n))
    for k in range(len(time) - 1):
        states[k + 1] = once @ np.concatenate((states[k], ground[k], ground[k + 1] - ground[k]))
    return time, states


def heights(motions: SmallMotions, speed: float, road: Profile, time: Array) -> Array:
    """Heights of the road under the wheels, as they roll over it, shape (times, 4) [m].

    Args:
        motions: the car about where it sits
        speed: of the car [m/s]
        road: the obstacle
        time: since the front wheels met it [s]
    """
    x = motions.foot[:, 0]
    columns = []
    for wheel, radius in enumerate((motions.car.radius + motions.car.unloaded).ravel()):
        rolled = road.rolled(float(radius))
        profile = rolled.left if wheel % 2 == 0 else rolled.right
        driven = speed * time + x[wheel] - x[:2].mean() + GRID * np.ceil(radius / GRID)
        columns.append(np.interp(driven / GRID, np.arange(len(profile)), profile))
    return np.stack(columns, axis=1)


def _pitch_left(motions: SmallMotions, system: Vibration, speed: float, bump: Profile) -> float:
    radius = float((motions.car.radius + motions.car.unloaded).max())
    gone = (motions.wheelbase + bump.length + radius) / speed
    time, states = over_profile(motions, system, speed, bump, gone + _AFTER)
    height = max(np.abs(bump.left).max(), np.abs(bump.right).max())
    return float(np.abs(states[time >= gone, PITCH]).max() / height)
