"""Functions of several numbers by few points: polynomials of which no term moves more than a few numbers far.

The points are those of nested Chebyshev extrema: the more numbers a point moves at once, the nearer to the middle of each
number's own polynomial it stays. One term belongs to each point, so that the polynomial through all of them is one and
only one. Source: S. A. Smolyak, "Quadrature and interpolation formulas for tensor products of certain classes of
functions", Dokl. Akad. Nauk SSSR 148 (1963) 1042-1045; points as in E. Novak and K. Ritter, "High dimensional integration
of smooth functions over cubes", Numer. Math. 75 (1996) 79-97.
"""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.polynomial.chebyshev import chebvander

from jounce.numerics.arrays import Array, IntArray

__all__ = ["grid_points", "grid_terms", "terms_at"]

_LEVEL_OF_DEGREE = (0, 1, 1, 2, 2)
_POINT_OF_DEGREE = np.array([0.0, -1.0, 1.0, -np.sqrt(0.5), np.sqrt(0.5)])
_MOST = 2  # sum of the levels of all numbers in a term


def grid_terms(count: int) -> IntArray:
    """The terms: of each number alone up to the fourth power, of any two together up to the square of each.

    Args:
        count: how many numbers there are

    Returns:
        Degree of each number's Chebyshev polynomial in each term, shape (terms, count); the constant is the first
    """
    levels = np.array(_LEVEL_OF_DEGREE)
    moved = [range(5)] * count
    found = [one for one in product(*moved) if levels[list(one)].sum() <= _MOST]
    return np.array(sorted(found, key=lambda one: (int(levels[list(one)].sum()), one))).reshape(-1, count)


def grid_points(terms: IntArray) -> Array:
    """The points that settle the terms, one for each, in their order.

    Args:
        terms: degrees, shape (terms, count)

    Returns:
        Each number from -1 to 1, shape (terms, count) [-]
    """
    return np.asarray(_POINT_OF_DEGREE[terms])


def terms_at(terms: IntArray, points: Array) -> Array:
    """Every term at points.

    Args:
        terms: degrees, shape (terms, count)
        points: numbers from -1 to 1, shape (points, count) [-]

    Returns:
        Products of Chebyshev polynomials, shape (points, terms) [-]
    """
    value = np.ones((len(points), len(terms)))
    for k in range(terms.shape[1]):
        value *= chebvander(points[:, k], 4)[:, terms[:, k]]
    return value
