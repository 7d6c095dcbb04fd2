"""Buckling of a rod against the beam's own differential equation, and the parabola that goes on from it."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.conventions.errors import InputError
from jounce.elements.bars.rod_buckling import buckling_load

YOUNG, YIELD = 206e9, 235e6


def test_a_slender_rod_buckles_where_its_bending_equation_has_a_solution():
    """``E I w'' = -F w`` with both ends held, by finite differences."""
    length, outer, inner, pieces = 0.9, 0.020, 0.014, 400
    second = np.pi / 64 * (outer**4 - inner**4)
    step = length / pieces
    curvature = (np.diag(np.full(pieces - 1, 2.0)) - np.eye(pieces - 1, k=1) - np.eye(pieces - 1, k=-1)) / step**2
    least = YOUNG * second * float(np.linalg.eigvalsh(curvature)[0])

    assert float(buckling_load(length, outer, inner, YOUNG, YIELD)) == pytest.approx(least, rel=1e-5)


def test_a_short_rod_squashes_and_the_two_curves_meet_with_one_slope():
    outer = 0.03
    area, second = np.pi / 4 * outer**2, np.pi / 64 * outer**4
    meeting = np.pi * np.sqrt(2 * YOUNG * second / (YIELD * area))
    around = buckling_load(meeting + np.array([-2e-4, -1e-4, 1e-4, 2e-4]), outer, 0.0, YOUNG, YIELD)

    assert float(buckling_load(0.01, outer, 0.0, YOUNG, YIELD)) == pytest.approx(area * YIELD, rel=1e-3)
    assert around == pytest.approx(np.full(4, area * YIELD / 2), rel=1e-3)
    assert around[1] - around[0] == pytest.approx(around[3] - around[2], rel=1e-2)


def test_a_bore_as_wide_as_the_rod_is_refused():
    with pytest.raises(InputError, match="bore of the rod"):
        buckling_load(0.9, 0.02, 0.02, YOUNG, YIELD)
