"""Smooth pieces of a line in space: straight pieces and circular arcs, each with its points and tangents.

Points may carry a leading axis of variants and complex perturbations.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array
from jounce.numerics.rotations import cross
from jounce.numerics.vectors import length, unit


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight piece from ``start`` to ``end``, each (3,) or (variants, 3) [m]."""

    start: Array
    end: Array

    @property
    def length(self) -> Array:
        """Length, () or (variants,) [m]."""
        return length(self.end - self.start)[..., 0]

    def points(self, share: Array) -> Array:
        """Points at shares of the length, shape (..., shares, 3) [m].

        Args:
            share: 0 at the start, 1 at the end, shape (shares,) [-]

        """
        way = (self.end - self.start)[..., None, :]
        return np.asarray(self.start[..., None, :] + np.asarray(share)[:, None] * way)

    def tangents(self, share: Array) -> Array:
        """Unit vectors along the piece at shares of its length, shape (..., shares, 3) [-].

        Args:
            share: 0 at the start, 1 at the end, shape (shares,) [-]

        """
        return np.asarray(np.ones((len(share), 1)) * unit(self.end - self.start)[..., None, :])

    def part(self, first: float | Array, last: float | Array) -> Straight:
        """What lies between two shares of the length.

        Args:
            first: share at which the part begins, one or one per variant [-]
            last: share at which it ends, one or one per variant [-]

        """
        way = self.end - self.start
        return Straight(self.start + _column(first) * way, self.start + _column(last) * way)


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular arc: it turns by ``angle`` [rad] about the unit vector ``axis`` through ``centre`` [m].

    ``start``, ``centre`` and ``axis`` are (3,) or (variants, 3), ``angle`` is () or (variants,).
    """

    start: Array
    centre: Array
    axis: Array
    angle: Array

    @property
    def radius(self) -> Array:
        """Radius, () or (variants,) [m]."""
        return length(self.start - self.centre)[..., 0]

    @property
    def length(self) -> Array:
        """Length along the arc, () or (variants,) [m]."""
        return np.asarray(self.radius * self.angle)

    @property
    def end(self) -> Array:
        """Last point [m]."""
        return self.points(np.ones(1))[..., 0, :]

    def points(self, share: Array) -> Array:
        """Points at shares of the length, shape (..., shares, 3) [m].

        Args:
            share: 0 at the start, 1 at the end, shape (shares,) [-]

        """
        cosine, sine, out, along = self._turned(share)
        return np.asarray(self.centre[..., None, :] + cosine * out + sine * along)

    def tangents(self, share: Array) -> Array:
        """Unit vectors along the arc at shares of its length, shape (..., shares, 3) [-].

        Args:
            share: 0 at the start, 1 at the end, shape (shares,) [-]

        """
        cosine, sine, out, along = self._turned(share)
        return np.asarray((cosine * along - sine * out) / self.radius[..., None, None])

    def part(self, first: float | Array, last: float | Array) -> Arc:
        """What lies between two shares of the length.

        Args:
            first: share at which the part begins, one or one per variant [-]
            last: share at which it ends, one or one per variant [-]

        """
        out = self.start - self.centre
        turn = _column(np.asarray(first) * self.angle)
        start = self.centre + np.cos(turn) * out + np.sin(turn) * cross(self.axis, out)
        return Arc(start, self.centre, self.axis, np.asarray((np.asarray(last) - first) * self.angle))

    def _turned(self, share: Array) -> tuple[Array, Array, Array, Array]:
        """Cosine and sine of the turn at each share, the radius at the start, and that radius turned by 90 deg."""
        turn = (np.asarray(self.angle)[..., None] * np.asarray(share))[..., None]
        out = self.start - self.centre
        return np.cos(turn), np.sin(turn), out[..., None, :], cross(self.axis, out)[..., None, :]


Piece = Straight | Arc


def _column(value: float | Array) -> Array:
    """One value, or one per variant, ready to scale vectors."""
    return np.asarray(value)[..., None]
