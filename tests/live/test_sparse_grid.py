"""Sparse grids: every polynomial of their terms exactly, and the same as Smolyak's sum of tensor interpolations."""

from __future__ import annotations

from itertools import product
from math import comb

import numpy as np
import pytest
from scipy.interpolate import lagrange

from jounce.numerics.sparse_grid import grid_points, grid_terms, terms_at


@pytest.mark.parametrize("count", [1, 2, 4, 6])
def test_one_point_for_each_term_and_as_many_as_told(count):
    """1 + 4 d + d (d - 1) / 2 times 4: the middle, four along each number, four corners of each pair."""
    terms = grid_terms(count)
    points = grid_points(terms)

    assert len(terms) == 1 + 4 * count + 4 * comb(count, 2)
    assert len(np.unique(points, axis=0)) == len(points)


def test_a_polynomial_of_its_terms_is_met_everywhere():
    def polynomial(x):
        return 3 - x[:, 0] ** 4 + 2 * x[:, 1] ** 2 * x[:, 2] ** 2 - x[:, 0] * x[:, 2] + x[:, 1] ** 3

    terms = grid_terms(3)
    points = grid_points(terms)
    found = np.linalg.solve(terms_at(terms, points), polynomial(points))
    between = np.random.default_rng(1).uniform(-1, 1, (20, 3))

    np.testing.assert_allclose(terms_at(terms, between) @ found, polynomial(between), atol=1e-12)
    beyond = points[:, 0] ** 2 * points[:, 1] ** 2 * points[:, 2]  # a term that it has not
    found = np.linalg.solve(terms_at(terms, points), beyond)
    assert np.abs(terms_at(terms, between) @ found - np.prod(between ** np.array([2, 2, 1]), axis=1)).max() > 0.01


def test_pairs_that_do_not_mix_are_left_out():
    """The same polynomials through fewer points, of a function that has no term of those pairs."""

    def function(x):
        return x[:, 0] ** 4 + x[:, 1] * x[:, 2] ** 2 - x[:, 2] * x[:, 3] + 2 * x[:, 3] ** 3

    terms = grid_terms(4, apart=[(0, 1), (0, 2), (0, 3)])
    points = grid_points(terms)
    between = np.random.default_rng(4).uniform(-1, 1, (20, 4))
    found = np.linalg.solve(terms_at(terms, points), function(points))

    assert len(terms) == len(grid_terms(4)) - 12
    np.testing.assert_allclose(terms_at(terms, between) @ found, function(between), atol=1e-12)


def test_the_same_as_the_sum_of_interpolations():
    """Smolyak's formula by a general library: signed tensor interpolations of which the levels add up to one or two."""

    def function(x, y):
        return np.exp(0.7 * x - 0.4 * y) / (3 + x * y)

    nodes = [np.zeros(1), np.array([-1.0, 0, 1]), np.cos(np.pi * np.arange(5) / 4)]
    between = np.random.default_rng(2).uniform(-1, 1, (8, 2))

    def tensor(one, other, at):
        rows = [float(lagrange(nodes[other], function(x, nodes[other]))(at[1])) for x in nodes[one]]
        return float(lagrange(nodes[one], np.array(rows))(at[0]))

    levels = [(a, b) for a, b in product(range(3), repeat=2) if 1 <= a + b <= 2]
    summed = [sum((1 if a + b == 2 else -1) * tensor(a, b, at) for a, b in levels) for at in between]
    terms = grid_terms(2)
    points = grid_points(terms)
    found = np.linalg.solve(terms_at(terms, points), function(points[:, 0], points[:, 1]))

    np.testing.assert_allclose(terms_at(terms, between) @ found, summed, rtol=1e-12)
