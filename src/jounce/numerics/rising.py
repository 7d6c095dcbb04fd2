"""Where sampled values first rise to zero."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array

__all__ = ["first_rise"]


def first_rise(sizes: Array, values: Array) -> float | None:
    """Size at which a value first comes up to zero, straight between two samples; None where it stays below.

    The first size, where it is there from the start.

    Args:
        sizes: growing, shape (samples,) [any]
        values: at each size, shape (samples,) [any]

    >>> first_rise(np.array([0.0, 2.0, 4.0]), np.array([-1.0, 1.0, 3.0]))
    1.0
    """
    above = np.flatnonzero(values >= 0)
    if not len(above):
        return None
    i = int(above[0])
    if i == 0:
        return float(sizes[0])
    share = -values[i - 1] / (values[i] - values[i - 1])
    return float(sizes[i - 1] + share * (sizes[i] - sizes[i - 1]))
