"""Quotients and angles for results: analytic, so that an imaginary perturbation of the pivots passes through."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import bearing, size
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import length

_STILL = 1e-9  # a body turning or travelling less than this per unit has no centre or ratio to speak of [rad/m or -]


def divided(top: Array | float, bottom: Array) -> Array:
    """Quotient, NaN where the divisor vanishes."""
    still = np.abs(bottom.real) < _STILL
    with np.errstate(invalid="ignore"):  # what is nowhere already stays so, without a word from complex division
        return np.asarray(np.where(still, np.nan, top / np.where(still, 1.0, bottom)))


def slope_angle(rise: Array, run: Array) -> Array:
    """Angle of a line (not its sense) to the run's axis [rad], in [-pi/2, pi/2]; NaN for a point."""
    sense = np.where(run.real < 0, -1.0, 1.0)
    lost = (np.abs(rise.real) < _STILL) & (np.abs(run.real) < _STILL)
    return np.asarray(np.where(lost, np.nan, bearing(sense * rise, sense * run)))


def between(one: Array, two: Array) -> Array:
    """Angle between two lines (not their senses) [rad]; by its tangent, which is exact near zero.

    Args:
        one: directions, shape (states, 3) [any]
        two: directions, broadcast against ``one`` [any]

    """
    crossed = length(cross(one, two))[..., 0]
    return bearing(crossed, size(np.sum(one * two, -1)))
