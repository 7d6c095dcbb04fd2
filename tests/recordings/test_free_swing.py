"""One wheel's swing against closed forms: damped cosine, dry friction by half cycles, two masses by their modes."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import expm

from jounce.recordings.free_swing import Underneath, swing


def test_without_friction_it_is_the_motion_of_two_masses_by_their_matrix():
    """Exponential of the system's matrix (any textbook of vibrations)."""
    k, c, tyre, small = 70.0, 5.0, 700.0, 0.12
    time = np.linspace(0, 2.5, 251)
    matrix = np.array(
        [[0, 0, 1, 0], [0, 0, 0, 1], [-k, k, -c, c], [k / small, -(k + tyre) / small, c / small, -c / small]]
    )
    place, share = -0.03, k / (k + tyre)
    start = np.array([place, share * place, 0.0, 0.0])
    exact = [(matrix @ expm(matrix * t) @ start)[2] for t in time]

    assert swing(time, Underneath(tyre, small), (k, c, 0.0), place, 0.0) == pytest.approx(np.array(exact), abs=1e-7)


def test_with_dry_friction_the_peaks_of_half_cycles_follow_their_recursion():
    """|x'| = L |x| - (1 + L) F/k with L = exp(-pi z / sqrt(1 - z²)): a damped swing about a place that F/k is off.

    z 0.2 and F/k 4, from 50: 20.2245, 4.5442 (own derivation, recomputed by stepping; the method: Nonlinear Dynamics 16
    (1998) 337, from memory). On a tyre as good as rigid.
    """
    turning, ratio, share = 2.0, 0.2, 4.0
    half = np.pi / (turning * np.sqrt(1 - ratio**2))
    near = 2e-3  # either side of a turn, where friction pulls one way and then the other
    time = np.array([0.0, half - near, half + near, 2 * half - near, 2 * half + near])
    told = swing(time, Underneath(4e5, 1.0), (turning**2, 2 * ratio * turning, share * turning**2), 50.0, 0.0)
    places = -np.array([told[0], told[1:3].mean(), told[3:].mean()]) / turning**2

    assert np.exp(-np.pi * 0.2 / np.sqrt(0.96)) == pytest.approx(0.526621, abs=5e-7)
    assert np.abs(places) == pytest.approx([50.0, 20.2245, 4.5442], abs=2e-2)
