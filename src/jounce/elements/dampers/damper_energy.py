"""What a damper takes from a swing: energy of a cycle, power, and the straight-line damping that takes as much."""

from __future__ import annotations

import numpy as np

from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.numerics.arrays import Array


def cycle_energy(curve: ForceVelocity, amplitude: float | Array, frequency: float | Array) -> Array:
    """Energy that a damper takes from one sine of its rod, exactly: ``∮ F dx = a ∫ F(v sin t) sin t dt``.

    On each straight piece of the curve the integral is ``-c cos t + s v (t/2 - sin 2t / 4)`` for ``F = c + s v sin t``.

    Args:
        curve: force over rod speed
        amplitude: of the rod's travel from its middle, any shape [m]
        frequency: of the swing, same shape [Hz]

    Returns:
        Energy, same shape [J]

    Source: work of a force over a closed path.

    >>> linear = ForceVelocity(np.array([1.0]), np.array([2000.0]), np.array([2000.0]))
    >>> float(cycle_energy(linear, 0.02, 1.5).round(6)), round(2 * np.pi**2 * 2000 * 1.5 * 0.02**2, 6)
    (23.687051, 23.687051)

    """
    amplitude, frequency = np.broadcast_arrays(np.asarray(amplitude, float), np.asarray(frequency, float))
    fastest = np.asarray(2 * np.pi * frequency * amplitude)
    quarter = sum(_over_a_quarter(curve, fastest, sense) for sense in (1.0, -1.0))
    return np.asarray(2 * amplitude * quarter)


def mean_power(curve: ForceVelocity, amplitude: float | Array, frequency: float | Array) -> Array:
    """Heat that a damper makes in a steady sine of its rod: energy of a cycle times frequency.

    Args:
        curve: force over rod speed
        amplitude: of the rod's travel from its middle, any shape [m]
        frequency: of the swing, same shape [Hz]

    Returns:
        Power, same shape [W]

    """
    return np.asarray(cycle_energy(curve, amplitude, frequency) * frequency)


def equal_damping(curve: ForceVelocity, fastest: float | Array) -> Array:
    """Straight-line damping that takes as much energy from a sine as the curve does: ``c = W / (π v a)``.

    Args:
        curve: force over rod speed
        fastest: v, largest rod speed of the sine, above zero, any shape [m/s]

    Returns:
        Damping, same shape [N s/m]

    Source: equivalent viscous damping by equal energy; L. S. Jacobsen, Trans. ASME 52 (1930).

    >>> curve = ForceVelocity(np.array([0.1, 0.3]), np.array([150.0, 350.0]), np.array([300.0, 900.0]))
    >>> float(equal_damping(curve, 0.05).round(6))
    2250.0

    """
    speed = np.asarray(fastest, float)
    quarter = sum(_over_a_quarter(curve, speed, sense) for sense in (1.0, -1.0))
    return np.asarray(2 * quarter / (np.pi * speed))


def _over_a_quarter(curve: ForceVelocity, fastest: Array, sense: float) -> Array:
    """``∫ F(v sin t) sin t dt`` over a quarter turn of one direction, F without sign [N]."""
    rows = curve.speed
    force = np.abs(curve.force(sense * rows))
    slopes = np.append(np.diff(force) / np.diff(rows), max((force[-1] - force[-2]) / (rows[-1] - rows[-2]), 0.0))
    total = np.zeros_like(fastest)
    moving = np.where(fastest > 0, fastest, 1.0)
    for row, (speed, at, slope) in enumerate(zip(rows, force, slopes, strict=True)):
        until = rows[row + 1] if row + 1 < len(rows) else np.inf
        first, last = (np.arcsin(np.minimum(edge / moving, 1.0)) for edge in (speed, until))
        level = at - slope * speed
        straight = level * (np.cos(first) - np.cos(last))
        rising = slope * fastest * ((last - first) / 2 - (np.sin(2 * last) - np.sin(2 * first)) / 4)
        total += straight + rising
    return np.asarray(np.where(fastest > 0, total, 0.0))
