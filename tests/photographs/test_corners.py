"""Corners of tiles in rendered photographs lie where they truly are, to a few hundredths of a pixel."""

from __future__ import annotations

import numpy as np
import pytest

from jounce.photographs.corners import linear_light, refined
from jounce.photographs.vision import found_tiles
from tests.photographs.scene import BITS

MEDIAN, BIAS = 0.08, 0.02  # px, what is asked for


def test_corners_of_tiles_of_fifty_pixels_are_exact_and_without_bias(five) -> None:
    off, sides = five.off
    good = (sides >= 50) & np.isfinite(off).all(axis=1)

    assert good.sum() > 100
    assert np.median(np.linalg.norm(off[good], axis=1)) <= MEDIAN
    assert np.all(np.abs(off[good].mean(axis=0)) <= BIAS)


def test_an_unknown_tone_curve_moves_no_corner(five) -> None:
    """The third photograph went through a strong S-curve that is not undone."""
    photo, stand = five.seen[2], five.stands[2]
    off = (photo.corners - five.true(photo, stand))[photo.sides >= 50].reshape(-1, 2)
    off = off[np.isfinite(off).all(axis=1)]

    assert np.median(np.linalg.norm(off, axis=1)) <= MEDIAN
    assert np.all(np.abs(off.mean(axis=0)) <= BIAS)


def test_corners_do_not_grow_outwards(five) -> None:
    """A tone curve that is not undone moves every corner half a pixel inwards: towards the tile's own middle."""
    inwards = []
    for photo, stand in zip(five.seen, five.stands, strict=True):
        true = five.true(photo, stand)
        way = true - true.mean(axis=1, keepdims=True)
        way /= np.linalg.norm(way, axis=-1, keepdims=True)
        inwards.append(np.sum((photo.corners - true) * way, axis=-1)[photo.sides >= 50].ravel())

    assert abs(np.nanmean(np.concatenate(inwards))) <= BIAS


def test_a_corner_under_a_bar_or_in_glare_is_left_out_and_not_guessed(five) -> None:
    photo, stand = five.seen[3], five.stands[3]
    off = np.linalg.norm(photo.corners - five.true(photo, stand), axis=-1)

    assert np.nanmax(off) < 0.6


@pytest.mark.parametrize("turned", range(4))
def test_the_centre_of_the_first_pixel_is_nought(turned) -> None:
    """A tile drawn pixel by pixel, columns and rows 100 to 163: its edges lie at 99.5 and 163.5, half a pixel before 100.

    Edges without any blur are no lens' work; 0.02 px is what is left of that.
    """
    tile = np.repeat(np.repeat(np.where(BITS[7], 250, 10), 8, axis=0), 8, axis=1).astype(np.uint8)
    picture = np.full((264, 264), 250, dtype=np.uint8)
    picture[100:164, 100:164] = np.rot90(tile, turned)
    for row in (slice(87, 100), slice(164, 177)):
        for column in (slice(87, 100), slice(164, 177)):
            picture[row, column] = 10
    found = [one for one in found_tiles(picture) if one.number == 7]
    corners, _ = refined(linear_light(picture), np.array([one.corners for one in found]))
    square = np.array([[99.5, 99.5], [163.5, 99.5], [163.5, 163.5], [99.5, 163.5]])

    assert corners[0] == pytest.approx(np.roll(square, turned, axis=0), abs=0.02)
