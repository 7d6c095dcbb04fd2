"""Variances on a road whose slope is white noise, by Lyapunov's equation: a second way beside the sum of spectra."""

from __future__ import annotations

import numpy as np
from scipy.linalg import solve_continuous_lyapunov

from jounce.behaviour.ride.road_surface import Road
from jounce.behaviour.ride.vibration import Output, Vibration
from jounce.behaviour.solving import solved
from jounce.numerics.arrays import Array


def speed_intensity(road: Road, speed: float) -> float:
    """Intensity q of the white vertical speed under a wheel, autocorrelation ``q δ(t)`` [m²/s].

    Args:
        road: its slope is white
        speed: of the car [m/s]
    """
    return 0.5 * road.slope_density() * speed


def white_variances(system: Vibration, outputs: tuple[Output, ...], intensity: float) -> Array:
    """Variance of quantities on a road whose slope is white noise, the same under all wheels at once.

    The freedoms are taken less the ground's height; what is left is driven by the ground's speed, of autocorrelation
    ``intensity δ(t)``. Its covariance P solves ``A P + P Aᵀ + b bᵀ intensity = 0``.

    Args:
        system: one that the ground carries along: raised with the ground it is in no other state
        outputs: quantities; those that depend on the height itself must not, raised with the ground
        intensity: of the white speed [m²/s]

    Returns:
        Shape (outputs,) [squares of the quantities' units]
    """
    n = len(system.mass)
    carried = solved(system.stiffness, system.push.sum(axis=1))
    matrix = system.state_matrix()
    drive = np.concatenate((-carried, np.zeros(n)))[:, None]
    covariance = solve_continuous_lyapunov(matrix, -intensity * drive @ drive.T)
    rows = np.stack(
        [np.concatenate((output.by_freedom, np.zeros(n))) + output.by_acceleration @ matrix[n:] for output in outputs]
    )
    return np.asarray(np.einsum("oi,ij,oj->o", rows, covariance, rows))
