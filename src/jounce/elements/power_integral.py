"""The area under a power of what is left of something: gas that is pressed, rubber that runs out of height."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array

_SERIES_BELOW = 1e-4


def power_integral(log_left: Array, exponent: float | Array) -> Array:
    """``∫ w^(exponent - 1) dw`` from 1 to what is left: ``(left^exponent - 1) / exponent``, ``ln(left)`` at exponent zero.

    Exact to rounding for any exponent, zero and its surroundings included; analytic in both arguments.

    Args:
        log_left: natural logarithm of the share that is left, any shape [-]
        exponent: one value or one per variant [-]

    Returns:
        Shape of both together [-]

    >>> power_integral(np.log(np.array(0.5)), np.array([2.0, 0.0])).round(6).tolist()
    [-0.375, -0.693147]

    """
    power = np.asarray(log_left) * np.asarray(exponent)
    small = np.abs(power) < _SERIES_BELOW
    series = 1 + power / 2 * (1 + power / 3 * (1 + power / 4 * (1 + power / 5)))
    steady = np.where(small, 1.0, power)
    return np.asarray(log_left * np.where(small, series, np.expm1(steady) / steady))
