"""Camera and plane beside the published calibration of a flat pattern.

Source: Zhang, A Flexible New Technique for Camera Calibration, IEEE Transactions on Pattern Analysis and Machine
Intelligence 22 (2000) 1330, and the data published with it (complete calibration; corners of the first three squares of
images 1 to 3, rounded here to a thousandth of a pixel). Five images of a pattern of 64 black squares; lengths in its own
unit, half of which is the side of a square; squares 8/9 apart. Root mean square of all 1280 corners with two numbers of
distortion, as published: 0.335 pixels.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from jounce.photographs.camera import bent, straightened
from jounce.photographs.tiles import flat_corners
from jounce.photographs.vision import planar_poses, posed

ALPHA, SKEW, BETA, CENTRE = 832.5, 0.204494, 832.53, (303.959, 206.585)
BEND = np.array([-0.228601, 0.190353, 0, 0, 0])
ROOT_MEAN_SQUARE = 0.335  # px
SIDE = 0.5
LENS = np.array([[ALPHA, SKEW], [0, BETA]])


@dataclass(frozen=True)
class Published:
    """An image: its stand, and where three squares were found, upper left corner first, clockwise [px]."""

    turned: np.ndarray
    shift: np.ndarray
    corners: np.ndarray


IMAGES = [
    Published(np.array(turned), np.array(shift), np.array(corners).reshape(3, 4, 2))
    for turned, shift, corners in [
        (
            [[0.992759, -0.026319, 0.117201], [0.0139247, 0.994339, 0.105341], [-0.11931, -0.102947, 0.987505]],
            [-3.84019, 3.65164, 12.791],
            [
                [63.439, 405.577, 92.463, 407.456, 91.806, 438.658, 62.587, 436.288],
                [116.280, 409.179, 146.450, 410.923, 145.612, 442.559, 115.462, 440.290],
                [170.833, 412.460, 201.849, 414.367, 201.073, 446.179, 169.969, 444.042],
            ],
        ),
        (
            [[0.997397, -0.00482564, 0.0719419], [0.0175608, 0.983971, -0.17746], [-0.0699324, 0.178262, 0.981495]],
            [-3.71693, 3.76928, 13.1974],
            [
                [74.952, 409.093, 104.313, 410.826, 106.060, 438.710, 77.004, 436.943],
                [127.823, 412.204, 157.947, 413.671, 159.231, 442.013, 129.464, 439.999],
                [181.843, 414.988, 212.701, 416.543, 213.471, 444.745, 183.115, 443.228],
            ],
        ),
        (
            [[0.915213, -0.0356648, 0.401389], [-0.00807547, 0.994252, 0.106756], [-0.402889, -0.100946, 0.909665]],
            [-2.94409, 3.77653, 14.2456],
            [
                [137.228, 394.363, 160.188, 397.097, 159.347, 425.129, 136.299, 421.958],
                [180.169, 399.381, 204.863, 402.063, 203.727, 431.017, 179.185, 427.736],
                [225.751, 404.363, 251.928, 407.180, 250.965, 436.942, 224.628, 433.545],
            ],
        ),
    ]
]


def squares():
    """Corners of the three squares on the pattern, x right and y down it, shape (3, 4, 3)."""
    one = np.array([[0, -SIDE, 0], [SIDE, -SIDE, 0], [SIDE, 0, 0], [0, 0, 0]])
    return one + np.array([[0.0, 0, 0], [8 / 9, 0, 0], [16 / 9, 0, 0]])[:, None]


def rays_of(image):
    """Rays of the found corners by the published lens, shape (3, 4, 2)."""
    return straightened((image.corners - CENTRE) @ np.linalg.inv(LENS).T, BEND)


def off_by(image):
    """How far the published camera puts the corners off where they were found, shape (3, 4, 2) [px]."""
    seen = squares() @ image.turned.T + image.shift
    return bent(seen[..., :2] / seen[..., 2:], BEND) @ LENS.T + CENTRE - image.corners


def test_the_published_camera_puts_the_pattern_where_it_was_found() -> None:
    """36 of the 1280 corners, at the picture's edge: none off by three times the published root mean square."""
    off = np.linalg.norm([off_by(image) for image in IMAGES], axis=-1)

    assert off.max() <= 3 * ROOT_MEAN_SQUARE
    assert np.sqrt(np.mean(off**2)) <= 1.5 * ROOT_MEAN_SQUARE


def test_without_the_published_distortion_it_does_not() -> None:
    """What the lens bends there is far more than what is left over: the test above can fail."""
    for image in IMAGES:
        seen = squares() @ image.turned.T + image.shift
        off = seen[..., :2] / seen[..., 2:] @ LENS.T + CENTRE - image.corners
        assert np.sqrt(np.mean(np.sum(off**2, axis=-1))) >= 5 * ROOT_MEAN_SQUARE


@pytest.mark.parametrize("image", IMAGES)
def test_three_squares_stand_as_published(image) -> None:
    """Direction to two thirds of a pixel; distance to what a pixel makes of a strip that is thirty pixels high."""
    points, rays = squares().reshape(-1, 3), rays_of(image).reshape(-1, 2)
    stand = posed(points, rays, ALPHA, 3)
    assert stand is not None
    middle = points.mean(axis=0)
    there = image.turned @ middle + image.shift

    seen, high = stand.seen(middle), SIDE * ALPHA / there[2]
    assert seen[:2] / seen[2] == pytest.approx(there[:2] / there[2], abs=2 * ROOT_MEAN_SQUARE / ALPHA)
    assert seen[2] == pytest.approx(there[2], rel=3 * ROOT_MEAN_SQUARE / high)
    assert np.abs(stand.seen(points)[:, :2] / stand.seen(points)[:, 2:] - rays).max() <= 3 * ROOT_MEAN_SQUARE / ALPHA


@pytest.mark.parametrize("image", IMAGES)
def test_a_single_square_may_stand_as_published(image) -> None:
    """One of the two ways of a square that is some thirty pixels wide puts its middle where it was."""
    for square, rays in zip(squares(), rays_of(image), strict=True):
        ways = planar_poses(flat_corners(SIDE), rays)
        middle = image.turned @ square.mean(axis=0) + image.shift
        pixels = SIDE * ALPHA / middle[2]
        off = [abs(way.shift[2] / middle[2] - 1) for way, _ in ways]

        assert min(off) <= 3 * ROOT_MEAN_SQUARE / pixels
        assert ways[0][0].shift[:2] / ways[0][0].shift[2] == pytest.approx(
            middle[:2] / middle[2], abs=2 * ROOT_MEAN_SQUARE / ALPHA
        )
