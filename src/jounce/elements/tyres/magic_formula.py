"""The magic formula: the shape that the lateral force of a tyre has over its slip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from jounce.elements.root import where_it_reaches
from jounce.numerics.arrays import Array

Number = TypeVar("Number", float, Array)

FARTHEST = 50.0  # of the slip at which the first slope alone would give the peak


def bent(reduced: Number, curvature: Number) -> Number:
    """``x - E (x - atan x)``; this formula and the next three hold for numbers in compiled functions, too.

    Args:
        reduced: B times the slip [-]
        curvature: E [-]

    """
    return reduced - curvature * (reduced - np.arctan(reduced))  # type: ignore[no-any-return]


def bent_slope(reduced: Number, curvature: Number) -> Number:
    """Derivative of `bent` by the reduced slip [-]."""
    return 1 - curvature + curvature / (1 + reduced * reduced)


def magic(peak: Number, shape: Number, bent_slip: Number) -> Number:
    """``D sin(C atan x)`` of the bent slip [as the peak]."""
    return peak * np.sin(shape * np.arctan(bent_slip))  # type: ignore[no-any-return]


def magic_slope(peak: Number, shape: Number, bent_slip: Number) -> Number:
    """Derivative of `magic` by the bent slip [as the peak]."""
    return peak * np.cos(shape * np.arctan(bent_slip)) * shape / (1 + bent_slip * bent_slip)  # type: ignore[no-any-return]


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
        return np.asarray(magic(self.peak, self.shape, bent(self.factor * np.asarray(x), self.curvature)))

    def slope(self, x: Array) -> Array:
        """Its derivative by slip [peak per slip]."""
        reduced = self.factor * np.asarray(x)
        growing = self.factor * bent_slope(reduced, self.curvature)
        return np.asarray(magic_slope(self.peak, self.shape, bent(reduced, self.curvature)) * growing)

    def peak_slip(self) -> Array:
        """Slip at which the formula has its peak, or the farthest looked at where it rises for ever [as x]."""
        wanted = np.tan(np.pi / (2 * np.real(np.maximum(self.shape, 1.0 + 1e-9))))
        curvature = np.broadcast_to(np.real(self.curvature), np.broadcast_shapes(*map(np.shape, self._all())))
        wanted = np.broadcast_to(wanted, curvature.shape)
        high = np.full(curvature.shape, FARTHEST)
        reduced = where_it_reaches(
            lambda x: np.asarray(bent(x, curvature)),
            lambda x: np.asarray(bent_slope(x, curvature)),
            wanted,
            np.zeros(curvature.shape),
            high,
        )
        return np.asarray(reduced / np.real(self.factor))

    def _all(self) -> tuple[Array, Array, Array, Array]:
        return self.peak, self.shape, self.factor, self.curvature
