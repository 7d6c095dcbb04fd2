"""Where a rising function takes a value: Newton steps kept inside a bracket."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from jounce.numerics.arrays import Array

_STEPS = 100
_ROUNDING = 4 * np.finfo(float).eps
_UNSETTLED = 1e-12  # as a share of the argument, for a function whose own rounding is coarse
_SMALL = 1e-9  # arguments nearer to zero than this share of the bracket count as zero when rounding is asked for


def where_it_reaches(
    value: Callable[[Array], Array], slope: Callable[[Array], Array], goal: Array, low: Array, high: Array
) -> Array:
    """Arguments at which a function that never falls takes given values, to rounding.

    A Newton step that leaves the bracket, has no slope to go by, or is not half as long as the step before the last
    (steps could go to and fro between two places for ever) is replaced by halving the bracket.

    Args:
        value: the function, elementwise over arrays [any]
        slope: its derivative, elementwise [any]
        goal: values to be taken, any shape, real [as value]
        low: arguments at which the function is not above the goal, same shape [any]
        high: arguments at which it is not below the goal, same shape [any]

    Returns:
        Arguments, same shape [any]

    Raises:
        ArithmeticError: the function is not what was asked for (a fault of the program)

    """
    x = 0.5 * (low + high)
    last = before = wide = np.abs(high - low)
    for _ in range(_STEPS):
        miss = value(x) - goal
        low, high = np.where(miss < 0, x, low), np.where(miss > 0, x, high)
        steep = slope(x)
        newton = x - miss / np.where(steep > 0, steep, np.inf)
        good = (newton >= low) & (newton <= high) & (steep > 0) & (2 * np.abs(newton - x) <= before)
        taken = np.abs(miss) <= _ROUNDING * np.abs(goal)  # nearer the function's own rounding does not let it come
        better = np.where(taken, x, np.where(good, newton, 0.5 * (low + high)))
        before, last = last, np.abs(better - x)
        x = better
        if np.all(last <= _ROUNDING * np.maximum(np.abs(x), _SMALL * wide)):
            return np.asarray(x)
    # The function's own rounding may keep the last digits from settling.
    if np.all((last <= _UNSETTLED * np.maximum(np.abs(x), _SMALL * wide)) | (high - low <= _UNSETTLED * wide)):
        return np.asarray(x)
    raise ArithmeticError("a rising function was not found to take a value that lies in its bracket")
