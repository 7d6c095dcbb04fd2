"""Curves in pieces, each a polynomial from its first place on; and cubics through rows.

A few lines of NumPy: the general library's interpolation takes longer to import than a car takes to settle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array

__all__ = ["Piecewise", "cubic_with_slopes", "monotone_cubic", "monotone_slopes"]


@dataclass(frozen=True, slots=True, eq=False)
class Piecewise:
    """A curve of polynomial pieces; the first and the last piece go on beyond the ends.

    Attributes:
        x: where pieces begin and the last one ends, rising, shape (pieces + 1,) [any]
        terms: of each piece by powers of the way from its beginning, the constant first, shape (powers, pieces)
            [curve per power of x]

    >>> square = Piecewise(np.array([0.0, 2.0]), np.array([[0.0], [0.0], [1.0]]))
    >>> [float(curve(np.array(3.0))) for curve in (square, square.slope(), square.area())]
    [9.0, 6.0, 9.0]
    """

    x: Array
    terms: Array

    def __call__(self, place: Array | float) -> Array:
        """The curve at places of any shape [curve]."""
        at = np.asarray(place, dtype=np.float64)
        piece = np.searchsorted(self.x[1:-1], at, side="right")
        way = at - self.x[piece]
        value = self.terms[-1][piece]
        for term in self.terms[-2::-1]:
            value = value * way + term[piece]
        return np.asarray(value)

    def slope(self) -> Piecewise:
        """Its derivative."""
        powers = np.arange(1, len(self.terms))[:, None]
        return Piecewise(self.x, powers * self.terms[1:] if len(powers) else np.zeros_like(self.terms))

    def area(self) -> Piecewise:
        """The area under it from its first place on."""
        powers = np.arange(1, len(self.terms) + 1)[:, None]
        terms = np.concatenate((np.zeros((1, self.terms.shape[1])), self.terms / powers))
        way = np.diff(self.x)
        grown = sum(term * way**power for power, term in enumerate(terms))
        terms[0, 1:] = np.cumsum(grown)[:-1]
        return Piecewise(self.x, terms)


def cubic_with_slopes(x: Array, y: Array, slopes: Array) -> Piecewise:
    """The cubic pieces with given values and slopes.

    Args:
        x: places, rising, shape (rows,) [any]
        y: values there, same shape [any]
        slopes: slopes there, same shape [y per x]

    """
    step = np.diff(x)
    secant = np.diff(y) / step
    bend = (slopes[:-1] + slopes[1:] - 2 * secant) / step
    terms = np.stack((y[:-1], slopes[:-1], (secant - slopes[:-1]) / step - bend, bend / step))
    return Piecewise(np.asarray(x, dtype=np.float64), terms)


def monotone_cubic(x: Array, y: Array) -> Piecewise:
    """The monotone cubic through rows (PCHIP): it rises where they rise and invents no hump; two rows give a straight line.

    Source: Fritsch & Carlson, Monotone piecewise cubic interpolation, SIAM J. Numer. Anal. 17 (1980); the inner slopes by
    Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5 (1984), the end slopes from three rows.

    Args:
        x: places, rising, shape (rows,) [any]
        y: values there, same shape [any]

    """
    return cubic_with_slopes(x, y, monotone_slopes(x, y))


def monotone_slopes(x: Array, y: Array) -> Array:
    """Slopes of the monotone cubic at its rows, shape (rows,) [y per x].

    Args:
        x: places, rising, shape (rows,) [any]
        y: values there, same shape [any]

    """
    step, secant = np.diff(x), np.diff(y) / np.diff(x)
    if len(step) == 1:
        return np.array([secant[0], secant[0]])
    before, after = 2 * step[1:] + step[:-1], step[1:] + 2 * step[:-1]
    same = np.sign(secant[:-1]) * np.sign(secant[1:]) > 0
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):  # next to no slope has an infinite inverse
        mean = (before / secant[:-1] + after / secant[1:]) / (before + after)
        inner = np.where(same, 1 / mean, 0.0)
    first = _end_slope(step[0], step[1], secant[0], secant[1])
    last = _end_slope(step[-1], step[-2], secant[-1], secant[-2])
    return np.concatenate(([first], inner, [last]))


def _end_slope(step: float, next_step: float, secant: float, next_secant: float) -> float:
    """Slope at an end from three rows, kept from overshooting."""
    slope = ((2 * step + next_step) * secant - step * next_secant) / (step + next_step)
    if np.sign(slope) != np.sign(secant):
        return 0.0
    if np.sign(secant) != np.sign(next_secant) and abs(slope) > 3 * abs(secant):
        return 3 * secant
    return slope
