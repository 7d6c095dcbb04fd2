"""Curves in pieces beside the general library's, and zeros beside its own search for them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicHermiteSpline, PchipInterpolator
from scipy.optimize.elementwise import find_root

from jounce.elements.piecewise import cubic_with_slopes, monotone_cubic
from jounce.elements.root import where_it_crosses

ROUNDING = {"rel": 1e-9, "abs": 1e-9}  # of sums of a few terms as large as the rows
ROWS = st.lists(st.tuples(st.floats(0.05, 3.0), st.floats(-5.0, 5.0)), min_size=2, max_size=9)


@given(ROWS)
def test_monotone_cubics_their_slopes_and_areas_are_the_librarys(rows):
    x, y = np.cumsum([step for step, _ in rows]), np.array([value for _, value in rows])
    ours, theirs = monotone_cubic(x, y), PchipInterpolator(x, y)
    at = np.linspace(x[0] - 0.3, x[-1] + 0.3, 41)

    assert ours(at) == pytest.approx(theirs(at), **ROUNDING)
    assert ours.slope()(at) == pytest.approx(theirs.derivative()(at), **ROUNDING)
    assert ours.area()(at) == pytest.approx(theirs.antiderivative()(at), **ROUNDING)


def test_cubics_with_slopes_are_the_librarys():
    x, y, slopes = np.array([0.0, 0.4, 1.5]), np.array([1.0, -2.0, 0.5]), np.array([3.0, 0.0, -1.0])
    at = np.linspace(-0.2, 1.8, 33)

    assert cubic_with_slopes(x, y, slopes)(at) == pytest.approx(CubicHermiteSpline(x, y, slopes)(at), **ROUNDING)


def test_zeros_in_many_brackets_are_found_as_closely_as_the_library_finds_them():
    wanted = np.linspace(-0.9, 0.9, 19)
    low, high = np.full(19, -1.0), np.full(19, 1.0)

    found = where_it_crosses(lambda x: np.sinh(4 * x) - np.sinh(4 * wanted), low, high, 1e-10)
    theirs = find_root(lambda x, w: np.sinh(4 * x) - np.sinh(4 * w), (low, high), args=(wanted,))

    assert found == pytest.approx(wanted, abs=1e-10)
    assert found == pytest.approx(theirs.x, abs=1e-10)


def test_a_bracket_without_a_zero_has_none_and_harms_no_other():
    found = where_it_crosses(lambda x: x - np.array([0.5, 3.0, np.nan]), np.zeros(3), np.ones(3), 1e-12)

    assert found[0] == pytest.approx(0.5, abs=1e-12)
    assert np.isnan(found[1:]).all()
