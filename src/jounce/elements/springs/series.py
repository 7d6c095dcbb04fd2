"""Elasticities one behind the other: a bar and its anchor, an arm and its drop link, a spring and a tyre."""

from __future__ import annotations

import numpy as np

from jounce.elements.springs.limits import check_not_negative
from jounce.numerics.arrays import Array


def series_rate(*rates: float | Array) -> Array:
    """Rate of elasticities that carry the same load one behind the other.

    ``1/k = sum(1/k_i)``

    Args:
        rates: rates of the parts, infinite for a rigid part, zero for one that is missing, in one unit [N/m or N m/rad]

    Returns:
        Rate of the whole [N/m or N m/rad]

    Raises:
        InputError: a negative rate

    >>> round(float(series_rate(1500.0, 6000.0, float("inf"))), 6)
    1200.0

    """
    for rate in rates:
        check_not_negative("rate in series", rate, "N/m or N m/rad")
    with np.errstate(divide="ignore"):  # no stiffness: infinite give, and the whole has none either
        give = sum((1 / (np.asarray(rate) * 1.0) for rate in rates), np.float64(0))
        return np.asarray(1 / give)
