"""Quotients and angles of results: their values, and that an imaginary perturbation passes through them."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.behaviour.axle.results.analytic import between, divided, slope_angle

STEP = 1e-30
ANGLES = np.radians([-170.0, -91.0, -40.0, 0.0, 30.0, 89.0, 135.0])


def imaginary_rate(function, *values):
    """Derivative by the first value."""
    first, *others = values
    return function(first + 1j * STEP, *others).imag / STEP


@pytest.mark.parametrize(
    ("function", "values"),
    [
        (slope_angle, (np.sin(ANGLES), 1.2 * np.cos(ANGLES))),
        (divided, (np.cos(ANGLES), np.array([0.5, -2.0, 3.0, 1.0, -1.0, 0.1, 7.0]))),
    ],
)
def test_an_imaginary_perturbation_gives_the_derivative(function, values):
    first, *others = values
    h = 1e-6
    by_difference = (function(first + h, *others) - function(first - h, *others)) / (2 * h)

    assert imaginary_rate(function, *values) == pytest.approx(by_difference, rel=1e-6, abs=1e-9)


def test_angle_between_lines_is_that_of_lines_not_of_arrows():
    one = np.array([[1.0, 0.0, 0.0]])
    two = np.array([[-1.0, 0.2, 0.0]])
    leaning = between(one + 0j, two + np.array([[0.0, 1j * STEP, 0.0]]))

    assert between(one, two) == pytest.approx([np.arctan(0.2)], rel=1e-14)
    assert between(one, one)[0] == 0.0
    assert leaning.imag / STEP == pytest.approx([1 / (1 + 0.2**2)], rel=1e-12)


def test_what_does_not_exist_is_no_number():
    still = np.array([0.0, 1e-12, 2.0])

    assert np.isnan(divided(np.ones(3), still)).tolist() == [True, True, False]
    assert np.isnan(slope_angle(still, still)).tolist() == [True, True, False]


def test_slopes_lie_within_a_right_angle():
    assert slope_angle(np.array([1.0, -1.0]), np.array([-1.0, -1.0])) == pytest.approx([-np.pi / 4, np.pi / 4])
