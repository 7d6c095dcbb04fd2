"""Two tyres of one axle run at one slip angle: the loaded one gives more, but less than its share of the load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.tyres.shared_slip import shared_slip
from jounce.elements.tyres.tyre_lateral import PeakedLaw
from jounce.numerics.arrays import Array, BoolArray

_NOTHING = 1e-9  # force below which an axle gives none [N]
_STEPS = 12
_FOUND = 1e-6  # of the demand: one step more finds the rest


@dataclass(frozen=True, slots=True)
class EqualSlip:
    """An axle whose two tyres share one slip angle.

    Attributes:
        tyre: lateral law of each tyre

    """

    tyre: PeakedLaw

    def lateral(self, load: Array, demand: Array) -> Array:
        """See `sharing.Sharing`; beyond what the tyres can give they share as they do at their best slip."""
        slip = self._quickly(load, np.abs(demand.real))
        given = self.tyre.force(load, _both(slip))
        total = given.sum(axis=1)
        # One step more carries what perturbs load and demand.
        sense = np.where(demand.real < 0, -1.0, 1.0)
        steep = self.tyre.stiffness(load, _both(slip))
        rising = steep.real.sum(axis=1) > 0
        change = np.where(rising, (sense * demand - total) / np.where(rising, steep.sum(axis=1), 1.0), 0.0)
        change = np.where(np.abs(change.real) < _SMALL_STEP, change, 0.0)
        given = given + steep * change[:, None]
        total = given.sum(axis=1)
        nothing = np.abs(total.real) < _NOTHING
        share = np.where(nothing[:, None], 0.5, given / np.where(nothing, 1.0, total)[:, None])
        return np.asarray(share * demand[:, None])

    def slip(self, load: Array, demand: Array) -> Array:
        """Slip angle of the axle in the sense of its force; the best one where it cannot give as much.

        Args:
            load: vertical loads, left and right, shape (states, 2) [N]
            demand: lateral force of the axle, shape (states,) [N]

        Returns:
            Shape (states,) [rad]
        """
        return shared_slip(self.tyre, load, demand).slip

    def most(self, load: Array) -> Array:
        """Largest lateral force of the axle at any slip, for loads of shape (states, 2) [N], in N."""
        return shared_slip(self.tyre, load, np.zeros(len(load))).most

    def _quickly(self, load: Array, wanted: Array) -> Array:
        """Slip for a force, nearly; perturbed copies of one state are worked out once."""
        rows, back = np.unique(np.column_stack((load.real, wanted)), axis=0, return_inverse=True)
        return np.asarray(np.asarray(self._of_each(rows[:, :2], rows[:, 2]))[back.ravel()])

    def _of_each(self, load: Array, wanted: Array) -> Array:
        """Newton from no slip: the curve bends down, so no step passes the answer - but near the peak none comes to it."""
        slip, good = np.zeros(len(wanted)), np.zeros(len(wanted), dtype=np.bool_)
        within = np.flatnonzero(wanted < self.tyre.peak(load).sum(axis=1))
        if len(within):
            slip[within], good[within] = self._newton(load[within], wanted[within], np.full(len(within), np.inf))
        hard = np.flatnonzero(~good)
        if len(hard):
            best = self._best(load[hard])
            slip[hard] = best
            most = self.tyre.force(load[hard], _both(best)).sum(axis=1)
            below = hard[wanted[hard] < most]
            if len(below):
                slip[below], _ = self._newton(load[below], wanted[below], slip[below])
        return slip

    def _newton(self, load: Array, wanted: Array, most: Array) -> tuple[Array, BoolArray]:
        """Slip after some steps, never beyond ``most``, and where it is as good as found."""
        slip: Array = np.zeros(len(wanted))
        for _ in range(_STEPS):
            miss = wanted - self.tyre.force(load, _both(slip)).sum(axis=1)
            steep = self.tyre.stiffness(load, _both(slip)).sum(axis=1)
            left = (miss > _FOUND * wanted) & (steep > 0) & (slip < most)
            if not left.any():
                break
            slip = np.minimum(slip + np.where(left, miss / np.where(left, steep, 1.0), 0.0), most)
        return slip, np.asarray((np.abs(miss) <= _FOUND * wanted) & (steep > 0))

    def _best(self, load: Array) -> Array:
        """Slip at which both together give most: between the two tyres' own, by secants that keep it between them."""
        peaks = np.where(load > 0, self.tyre.peak_slip(np.maximum(load, 1.0)), np.nan)
        none: BoolArray = np.asarray((load <= 0).all(axis=1))
        peaks = np.where(none[:, None], 0.1, peaks)
        low, high = np.nanmin(peaks, axis=1), np.nanmax(peaks, axis=1)
        rising, falling = (self.tyre.stiffness(load, _both(slip)).sum(axis=1) for slip in (low, high))
        for _ in range(_SECANTS):
            span = rising - falling
            middle = np.where(span > 0, low + (high - low) * rising / np.where(span > 0, span, 1.0), low)
            middle = np.clip(middle, low, high)
            steep = self.tyre.stiffness(load, _both(middle)).sum(axis=1)
            up = steep > 0
            falling, rising = np.where(up, 0.5 * falling, steep), np.where(up, steep, 0.5 * rising)
            low, high = np.where(up, middle, low), np.where(up, high, middle)
        return np.asarray(np.where(np.abs(high - low) > 0, 0.5 * (low + high), low))


_SECANTS = 8
_SMALL_STEP = 1e-3  # [rad]


def _both(slip: Array) -> Array:
    return np.asarray(slip[:, None] * np.ones(2))
