"""The closed form of a Panhard rod that swings in one plane; a check for the linkage, and a quick figure."""

from __future__ import annotations

import numpy as np

from jounce.conventions.errors import Impossible
from jounce.numerics.arrays import Array


def lateral_shift(length: float | Array, height_difference: float | Array, travel: float | Array) -> Array:
    """Sideways movement of a rod's moving end when it goes straight up or down, the other end held.

    ``dy = sqrt(L² - h0²) - sqrt(L² - (h0 + z)²)``

    Args:
        length: rod length L between its end points [m]
        height_difference: h0, moving end above held end at the start [m]
        travel: z, the moving end going up relative to the held end [m]

    Returns:
        Shift dy towards the held end; negative away from it [m]

    Raises:
        Impossible: a rod too short to reach

    Valid for: a rod in one transverse plane, the moving end led along that plane.
    Source: Pythagoras.

    >>> round(float(lateral_shift(0.9, 0.0, 0.05)) * 1e3, 6)
    1.389962

    """
    length, before, rise = np.broadcast_arrays(*(np.asarray(x, float) for x in (length, height_difference, travel)))
    after = before + rise
    short = np.flatnonzero(~((np.abs(before) <= length) & (np.abs(after) <= length)))
    if short.size:
        one = short[0]
        raise Impossible(
            f"A rod of {length.flat[one] * 1e3:.6g} mm does not span a height of "
            f"{max(abs(before.flat[one]), abs(after.flat[one])) * 1e3:.6g} mm."
        )
    # The difference of two nearly equal roots, written so that nothing cancels.
    sum_of_roots = np.sqrt(length**2 - before**2) + np.sqrt(length**2 - after**2)
    square_difference = rise * (before + after)
    upright = sum_of_roots == 0  # straight up before and after: no shift
    return np.asarray(np.where(upright, 0.0, square_difference / np.where(upright, 1.0, sum_of_roots)))
