"""The camera's model beside the general library's, its slopes beside differences, and depth from two photographs."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from jounce.numerics.rotations import rotation_matrix
from jounce.photographs.camera import bent, bent_with_slopes, straightened
from jounce.photographs.pivots import depth_deviation
from jounce.photographs.tiles import flat_corners
from jounce.photographs.vision import planar_poses

BEND = np.array([-0.12, 0.08, 0.0011, -0.0007, -0.02])


@pytest.fixture
def rays():
    return np.random.default_rng(1).uniform(-0.7, 0.7, (50, 2))


def test_the_lens_bends_rays_as_the_general_library_says(rays) -> None:
    points = np.column_stack([rays, np.ones(50)]) * np.random.default_rng(2).uniform(0.5, 3, (50, 1))
    camera = np.array([[3000.0, 0, 1990], [0, 3000, 1510], [0, 0, 1]])
    theirs = cv2.projectPoints(points, np.zeros(3), np.zeros(3), camera, BEND)[0][:, 0]

    assert 3000 * bent(rays, BEND) + [1990, 1510] == pytest.approx(theirs, abs=1e-9)


def test_slopes_of_the_lens_are_those_of_differences(rays) -> None:
    _, by_ray, by_bend = bent_with_slopes(rays, BEND)
    step = 1e-6
    for axis in range(2):
        more, less = rays.copy(), rays.copy()
        more[:, axis] += step
        less[:, axis] -= step
        assert by_ray[..., axis] == pytest.approx((bent(more, BEND) - bent(less, BEND)) / (2 * step), abs=1e-7)
    for one in range(5):
        change = step * np.eye(5)[one]
        by_difference = (bent(rays, BEND + change) - bent(rays, BEND - change)) / (2 * step)
        assert by_bend[..., one] == pytest.approx(by_difference, abs=1e-7)


def test_rays_come_back_from_a_lens(rays) -> None:
    assert straightened(bent(rays, BEND), BEND) == pytest.approx(rays, abs=1e-12)


def test_a_square_seen_once_stands_in_one_of_two_ways_and_the_true_one_is_among_them() -> None:
    turned = rotation_matrix(np.array([np.pi + 0.5, 0.3, 0.1]))
    flat = flat_corners(0.06)
    seen = flat @ turned.T + [0.1, -0.05, 1.2]
    ways = planar_poses(flat, seen[:, :2] / seen[:, 2:])

    assert len(ways) == 2
    assert ways[0][0].turned == pytest.approx(turned, abs=1e-6)
    assert ways[0][0].shift == pytest.approx([0.1, -0.05, 1.2], abs=1e-6)
    assert ways[0][1] < 1e-9 < ways[1][1]


def test_depth_from_two_photographs_spreads_as_similar_triangles_say() -> None:
    """Where rays of two cameras a metre apart meet, sampled, beside the closed form."""
    rng = np.random.default_rng(3)
    far, apart, focal, noise = 1.5, 1.0, 3000.0, 0.1
    left = (0.5 * apart / far) + noise / focal * rng.normal(size=40000)
    right = (-0.5 * apart / far) + noise / focal * rng.normal(size=40000)
    sampled = np.std(apart / (left - right))

    assert depth_deviation(far, apart, focal, noise) == pytest.approx(sampled, rel=4 / np.sqrt(2 * 40000))
