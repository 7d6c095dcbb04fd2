"""The magic formula: the shape that the lateral force of a tyre has over its slip."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.inverse import where_it_reaches
from jounce.numerics.arrays import Array

FARTHEST = 50.0  # of the slip at which the first slope alone would give the peak


@dataclass(frozen=True, slots=True)
class MagicShape:
    """``y = D sin(C atan(B x - E (B x - atan(B x))))``.

    ``peak`` D [as y], ``shape`` C [-], ``factor`` B [1/x] and ``curvature`` E [-] are arrays of any one shape;
    ``B C D`` is the slope at no slip.

    Source: E. Bakker, L. Nyborg and H. B. Pacejka, Tyre modelling for use in vehicle dynamics studies, SAE 870421 (1987).

    >>> tyre = MagicShape(np.array(1000.0), np.array(1.3), np.array(0.2), np.array(-0.5))
    >>> tyre.value(np.array([0.0, 4.0])).round(3).tolist(), float(tyre.slope(np.array(0.0)))
    ([0.0, 798.81], 260.0)
    """

    peak: Array
    shape: Array
    factor: Array
    curvature: Array

    def value(self, x: Array) -> Array:
        """The formula over slip, any shape that broadcasts [as the peak]."""
        return np.asarray(self.peak * np.sin(self.shape * np.arctan(self._bent(x))))

    def slope(self, x: Array) -> Array:
        """Its derivative by slip [peak per slip]."""
        reduced = self.factor * np.asarray(x)
        bent = self._bent(x)
        inner = 1 - self.curvature + self.curvature / (1 + reduced**2)
        turn = self.shape * np.arctan(bent)
        return np.asarray(self.peak * np.cos(turn) * self.shape * self.factor * inner / (1 + bent**2))

    def peak_slip(self) -> Array:
        """Slip at which the formula has its peak, or the farthest looked at where it rises for ever [as x]."""
        wanted = np.tan(np.pi / (2 * np.real(np.maximum(self.shape, 1.0 + 1e-9))))
        curvature = np.broadcast_to(np.real(self.curvature), np.broadcast_shapes(*map(np.shape, self._all())))
        wanted = np.broadcast_to(wanted, curvature.shape)
        high = np.full(curvature.shape, FARTHEST)
        reduced = where_it_reaches(
            lambda x: np.asarray(x - curvature * (x - np.arctan(x))),
            lambda x: np.asarray(1 - curvature + curvature / (1 + x**2)),
            wanted,
            np.zeros(curvature.shape),
            high,
        )
        return np.asarray(reduced / np.real(self.factor))

    def _all(self) -> tuple[Array, Array, Array, Array]:
        return self.peak, self.shape, self.factor, self.curvature

    def _bent(self, x: Array) -> Array:
        reduced = self.factor * np.asarray(x)
        return np.asarray(reduced - self.curvature * (reduced - np.arctan(reduced)))
