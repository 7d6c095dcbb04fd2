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


def where_it_crosses(value: Callable[[Array], Array], low: Array, high: Array, closeness: float) -> Array:
    """Arguments at which a function passes zero, in brackets of it; NaN where it has none or is no number at both ends.

    Inverse quadratic interpolation where it is to be trusted, halving the bracket elsewhere.
    Source: T. R. Chandrupatla, A new hybrid quadratic/bisection algorithm, Adv. Eng. Software 28 (1997) 145-149.

    Args:
        value: the function, elementwise over all brackets at once [any]
        low: one end of each bracket, shape (brackets,) [any]
        high: the other ends, same shape [any]
        closeness: how narrow a bracket is left [as low]

    Returns:
        Arguments, same shape [any]

    >>> where_it_crosses(lambda x: x**3 - 2.0, np.array([0.0]), np.array([2.0]), 1e-12).round(9).tolist()
    [1.25992105]
    """
    new, old = np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64)
    value_new, value_old = value(new), value(old)
    found = np.full(new.shape, np.nan)
    open_ = np.ones(new.shape, dtype=bool)
    share = np.full(new.shape, 0.5)
    for _ in range(_STEPS):
        best = np.where(np.abs(value_new) < np.abs(value_old), new, old)
        met = np.minimum(np.abs(value_new), np.abs(value_old)) == 0
        lost = ~met & ~(np.sign(value_new) != np.sign(value_old))
        lost |= np.isnan(value_new) & np.isnan(value_old)
        done = open_ & (met | lost | (np.abs(old - new) < closeness))
        found[done] = np.where(lost, np.nan, best)[done]
        open_ &= ~done
        if not open_.any():
            break
        x = np.where(open_, new + share * (old - new), best)
        at = value(x)
        same = np.sign(at) == np.sign(value_new)
        third, value_third = np.where(same, new, old), np.where(same, value_new, value_old)
        old, value_old = np.where(same, old, new), np.where(same, value_old, value_new)
        new, value_new = x, at
        share = _quadratic_share((new, old, third), (value_new, value_old, value_third), closeness)
    return found


def _quadratic_share(x: tuple[Array, Array, Array], value: tuple[Array, Array, Array], closeness: float) -> Array:
    """Share of the bracket at which the inverse quadratic through three points passes zero, a half where it misleads."""
    (new, old, third), (at_new, at_old, at_third) = x, value
    with np.errstate(divide="ignore", invalid="ignore"):
        place, rise = (new - old) / (third - old), (at_new - at_old) / (at_third - at_old)
        along = (third - new) / (old - new)
        share = at_new / (at_new - at_old) * at_third / (at_third - at_old)
        share = share - along * at_new / (at_third - at_new) * at_old / (at_old - at_third)
        trusted = (1 - np.sqrt(1 - place) < rise) & (rise < np.sqrt(place))
        edge = np.minimum(0.5 * closeness / np.abs(old - new), 0.5)
    return np.asarray(np.clip(np.where(trusted, share, 0.5), edge, 1 - edge))
