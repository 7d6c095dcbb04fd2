"""A car driven round a circle on sloping ground, and what a sensor aboard records: made without the product.

The sensor's place is followed through the world by its position, which is differentiated twice; the body leans from the
plane of the road. The sensor sits askew and off the middle, its gyroscope has a wrong scale and a bias, both have noise.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.spatial.transform import Rotation

GRAVITY = 9.80665
STEP = 0.01


@dataclass(frozen=True)
class Circled:
    """A car and its circle: roll [rad/(m/s²)], steering wheel straight [rad] and per acceleration, radius [m]."""

    roll: float = np.radians(4.0) / GRAVITY
    steer: float = np.radians(100.0)
    steer_more: float = np.radians(25.0) / GRAVITY
    radius: float = 30.0
    slope: float = np.radians(0.6)
    askew: tuple[float, float, float] = (0.05, -0.04, 1.1)
    """Turn of the sensor about the car's axes, the last about its upright [rad]."""
    beside: float = 0.3
    """How far the sensor sits to the left of the car's middle [m]."""
    wobble: float = 0.3
    """How far the driver strays from the circle, one deviation from quarter to quarter of a lap [m]."""
    scale: float = 1.01
    """Of the gyroscope."""
    wider: float = 0.0
    """Share by which the sensor feels too much across."""
    noise: float = 0.05
    steered_noise: float = np.radians(1.5)


SPEEDS = (1.2, 2.2, 3.2, 4.2)
"""Lateral accelerations at which two laps each are driven [m/s²]."""


def driven(car: Circled, turn: float, seed: int, across=SPEEDS, *, short: float = 0.0):
    """Times [s], accelerations [m/s²], turning rates [rad/s] and steering-wheel angle [rad] of one way round.

    Each speed is held for two laps, after most of a lap that is needed to reach it; ``short`` laps are left out in the end.
    """
    rng = np.random.default_rng(seed)
    rates = np.sqrt(np.array(across) / car.radius)
    knots, held = [0.0], [0.0]
    for rate in rates:  # turning rate against laps done: up within 0.6 of a lap, then held
        knots += [knots[-1] + 0.6, knots[-1] + 2.75]
        held += [rate, rate]
    whole = np.ceil(knots[-1] + 0.5) - short
    knots += [whole]
    held += [0.0]
    of_laps = PchipInterpolator(knots, held)
    laps, when = [0.0], [0.0]
    while laps[-1] < whole - 1e-4:  # the car creeps off, and onto the line
        rate = max(float(of_laps(laps[-1])), 0.12)
        laps.append(min(laps[-1] + rate * STEP / (2 * np.pi), whole))
        when.append(when[-1] + STEP)
    stand = np.arange(0.0, 4.0, STEP)
    turned = np.concatenate((np.zeros(len(stand)), laps, np.full(len(stand), whole))) * 2 * np.pi
    turned = np.convolve(np.pad(turned, 40, mode="edge"), np.hanning(81) / np.hanning(81).sum(), mode="valid")
    time = np.arange(len(turned)) * STEP
    strays = PchipInterpolator(np.arange(80) / 4, rng.normal(0.0, car.wobble, 80))
    stray = strays(turned / (2 * np.pi))
    out = car.radius + stray - turn * car.beside
    heading = turn * turned
    place = np.column_stack((out * np.sin(turned), -turn * out * np.cos(turned), np.zeros(len(time))))
    moving = np.gradient(np.gradient(place, time, axis=0), time, axis=0)
    rate = np.gradient(turned, time)
    lateral = (car.radius + stray) * rate**2
    plane = Rotation.from_euler("xy", [car.slope, 0.3 * car.slope])
    body = Rotation.from_euler("ZX", np.column_stack((heading, turn * car.roll * lateral)))
    sensor = Rotation.from_euler("zyx", car.askew[::-1])
    felt = body.inv().apply(moving + plane.inv().apply([0.0, 0.0, GRAVITY]))
    spin = body.inv().apply(np.column_stack((np.zeros((len(time), 2)), turn * rate)))
    bumps = rng.normal(0.0, car.noise, felt.shape)
    accelerations = sensor.inv().apply(felt * (1.0, 1 + car.wider, 1.0)) + bumps
    turning = car.scale * sensor.inv().apply(spin) + (0.004, -0.003, 0.006) + rng.normal(0.0, 0.004, felt.shape)
    steering = turn * (car.steer * np.minimum(rate / 0.1, 1) + car.steer_more * lateral) + np.radians(2.0)
    return time, accelerations, turning, steering + rng.normal(0.0, car.steered_noise, len(time))


def as_csv(time, accelerations, turning, steering=None) -> str:
    """The file of a recorder that has all in one table, every fourth sample."""
    head = "Time (s),Acceleration x (m/s^2),Acceleration y (m/s^2),Acceleration z (m/s^2)"
    head += ",Gyroscope x (rad/s),Gyroscope y (rad/s),Gyroscope z (rad/s)"
    columns = [time, *accelerations.T, *turning.T]
    if steering is not None:
        head, columns = f"{head},steering wheel (deg)", [*columns, np.degrees(steering)]
    rows = (",".join(f"{value:.4f}" for value in row) for row in np.column_stack(columns)[::4])
    return "\n".join((head, *rows)) + "\n"
