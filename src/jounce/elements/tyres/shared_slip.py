"""Two tyres of one axle at one slip angle: which slip gives a wanted force, and whether the axle can give it at all."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.inverse import where_it_reaches
from jounce.elements.tyres.tyre_lateral import PeakedLaw
from jounce.numerics.arrays import Array

_HALVINGS = 60


@dataclass(frozen=True, slots=True)
class SharedSlip:
    """How an axle gives a lateral force.

    Attributes:
        slip: of both tyres, in the sense of the force, shape (states,) [rad]
        force: of each tyre, shape (states, 2) [N]; their sum is the demand where it is ``reached``
        most: what the axle gives at its best slip, shape (states,) [N]
        reached: whether the demand is within it, shape (states,); else slip and force are those of the best slip

    """

    slip: Array
    force: Array
    most: Array
    reached: Array


def shared_slip(tyre: PeakedLaw, load: Array, demand: Array) -> SharedSlip:
    """The slip at which both tyres together give a force, on the rising side of their curve, to rounding.

    Args:
        tyre: lateral law of each tyre
        load: vertical loads, left and right, zero off the road, shape (states, 2) [N]
        demand: lateral force of the axle, either sense, shape (states,) [N]

    Returns:
        Slip and forces; at the axle's peak where the demand exceeds its grip

    Source: one steer angle and one body slip for both wheels of an axle; each tyre at its own load.

    >>> from jounce.elements.tyres.tyre_lateral import EXAMPLE_1987
    >>> found = shared_slip(EXAMPLE_1987, np.array([[2000.0, 6000.0]]), np.array([4000.0]))
    >>> found.force.sum(axis=1).round(6).tolist(), found.reached.tolist()
    ([4000.0], [True])

    """
    real = np.real(np.asarray(load))
    wanted = np.abs(np.real(np.asarray(demand)))
    best = _best_slip(tyre, real)
    most = tyre.force(real, _both(best)).sum(axis=1)
    reached = wanted <= most
    slip = where_it_reaches(
        lambda x: tyre.force(real, _both(x)).sum(axis=1),
        lambda x: tyre.stiffness(real, _both(x)).sum(axis=1),
        np.where(reached, wanted, 0.0),
        np.zeros_like(best),
        best,
    )
    slip = np.asarray(np.where(reached, slip, best))
    sense = np.where(np.real(np.asarray(demand)) < 0, -1.0, 1.0)
    # One more step in the numbers as they are carries what perturbs load and demand.
    steep = tyre.stiffness(load, _both(slip)).sum(axis=1)
    miss = sense * demand - tyre.force(load, _both(slip)).sum(axis=1)
    rising = reached & (np.real(steep) > 0)
    slip = slip + np.where(rising, miss / np.where(rising, steep, 1.0), 0.0)
    force = sense[:, None] * tyre.force(load, _both(slip))
    return SharedSlip(np.asarray(sense * slip), np.asarray(force), np.asarray(most), np.asarray(reached))


def _best_slip(tyre: PeakedLaw, load: Array) -> Array:
    """Where the sum of both has its peak: between the peaks of the two, by halving."""
    peaks = np.where(load > 0, tyre.peak_slip(load), np.nan)
    none = np.all(load <= 0, axis=1)
    peaks = np.where(none[:, None], 0.0, peaks)
    low, high = np.nanmin(peaks, axis=1), np.nanmax(peaks, axis=1)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        rising = tyre.stiffness(load, _both(middle)).sum(axis=1) > 0
        low, high = np.where(rising, middle, low), np.where(rising, high, middle)
    return np.asarray(0.5 * (low + high))


def _both(slip: Array) -> Array:
    return np.asarray(slip[:, None] * np.ones(2))
