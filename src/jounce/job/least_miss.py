"""Least squares of a smooth function whose unknowns have ends."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

import numpy as np
import scipy  # its rooms open on use: optimisation is slow to import, and few jobs ask for it

from jounce.numerics.arrays import Array

__all__ = ["LeastMiss", "Missed", "least_miss_within"]

_ROUNDS = 12  # each squares what is left where the function is nearly straight

Missed = Callable[[Array], tuple[Array, Array]]
"""What is missed for unknowns (unknowns,), shape (misses,), and its slopes by them, shape (misses, unknowns)."""


@dataclass(frozen=True, slots=True)
class LeastMiss:
    """Where misses are least.

    Attributes:
        at: the unknowns, shape (unknowns,)
        miss: what is missed there, shape (misses,)
        slopes: of each miss by each unknown, shape (misses, unknowns)
        ends: the least and the most of each unknown, shape (unknowns,) each; infinite where there is none

    """

    at: Array
    miss: Array
    slopes: Array
    ends: tuple[Array, Array]

    def about(self, other: Array) -> float:
        """The sum of squares of the misses elsewhere, by the slopes.

        Args:
            other: unknowns nearby, shape (unknowns,)
        """
        return float(np.sum((self.miss + self.slopes @ (other - self.at)) ** 2))

    def held(self, held: Mapping[int, float]) -> Array:
        """The unknowns that miss least with some of them held, by the slopes, shape (unknowns,).

        Args:
            held: values by the unknowns' numbers
        """
        at = self.at.copy()
        at[list(held)] = list(held.values())
        miss = self.miss + self.slopes @ (at - self.at)
        return at + _step(miss, self.slopes, at, self.ends, held)


def least_miss_within(missed: Missed, start: Array, ends: tuple[Array, Array], close: float) -> LeastMiss:
    """Gauss and Newton's method, each step a linear least-squares problem within the ends.

    Args:
        missed: what is missed, and its slopes
        start: unknowns to begin with, shape (unknowns,); put within the ends
        ends: the least and the most of each unknown, shape (unknowns,) each; infinite where there is none
        close: a step no longer than this is the last, but the first; what it leaves is told by the slopes

    Source: A. Björck, Numerical Methods for Least Squares Problems (SIAM 1996), sections 9.2 (Gauss-Newton) and 5.2
    (variables with bounds).
    """
    low, high = ends
    at = np.clip(start, low, high)
    miss, slopes = missed(at)
    for count in range(_ROUNDS):
        way = _step(miss, slopes, at, ends)
        at = np.clip(at + way, low, high)
        if count and np.abs(way).max(initial=0.0) <= close:
            return LeastMiss(at, miss + slopes @ way, slopes, ends)
        miss, slopes = missed(at)
    return LeastMiss(at, miss, slopes, ends)


def _step(miss: Array, slopes: Array, at: Array, ends: tuple[Array, Array], held: Collection[int] = ()) -> Array:
    """The step that leaves least by the slopes, within the ends and without those that are held, shape (unknowns,)."""
    way, (low, high) = np.zeros(len(at)), ends
    free = [k for k in range(len(at)) if high[k] > low[k] and k not in held]
    if free:
        # An unknown beyond its end by rounding is at it.
        least, most = np.minimum(low - at, 0.0)[free], np.maximum(high - at, 0.0)[free]
        step = np.linalg.lstsq(slopes[:, free], -miss)[0]
        if np.any((step < least) | (step > most)):
            step = scipy.optimize.lsq_linear(slopes[:, free], -miss, (least, most), "bvls").x
        way[free] = step
    return way
