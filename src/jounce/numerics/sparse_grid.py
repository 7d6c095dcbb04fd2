"""Functions of several numbers by few points: polynomials of which no term moves more than a few numbers far.

The points are those of nested Chebyshev extrema: the more numbers a point moves at once, the nearer to the middle of each
number's own polynomial it stays. One term belongs to each point, so that the polynomial through all of them is one and
only one. Source: S. A. Smolyak, "Quadrature and interpolation formulas for tensor products of certain classes of
functions", Dokl. Akad. Nauk SSSR 148 (1963) 1042-1045; points as in E. Novak and K. Ritter, "High dimensional integration
of smooth functions over cubes", Numer. Math. 75 (1996) 79-97.
"""

from __future__ import annotations

from collections.abc import Collection
from itertools import combinations, product

import numpy as np
from numpy.polynomial.chebyshev import chebvander

from jounce.numerics.arrays import Array, IntArray

__all__ = ["grid_points", "grid_terms", "terms_at"]

_POINT_OF_DEGREE = np.array([0.0, -1.0, 1.0, -np.sqrt(0.5), np.sqrt(0.5)])
_HIGHEST = 4  # power of a number alone in a term
_HIGHEST_OF_PAIR = 2


def grid_terms(count: int, apart: Collection[tuple[int, int]] = ()) -> IntArray:
    """The terms: of each number alone up to the fourth power, of any two together up to the square of each.

    Without the terms of some pairs they are settled by their points all the same, as each term's own divisors stay.

    Args:
        count: how many numbers there are
        apart: pairs of numbers that do not change what the other does, the lesser first

    Returns:
        Degree of each number's Chebyshev polynomial in each term, shape (terms, count); the constant is the first
    """
    alone = [{one: degree} for one in range(count) for degree in range(1, _HIGHEST + 1)]
    both = range(1, _HIGHEST_OF_PAIR + 1)
    pairs = [
        {one: first, other: second}
        for one, other in combinations(range(count), 2)
        if (one, other) not in apart
        for first, second in product(both, both)
    ]
    terms = np.zeros((1 + len(alone) + len(pairs), count), dtype=np.intp)
    for row, degrees in zip(terms[1:], [*alone, *pairs], strict=True):
        row[[*degrees]] = [*degrees.values()]
    return terms


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
