"""What one photograph shows: its tiles, their corners to a few hundredths of a pixel, and whether it is fit for use."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array
from jounce.photographs.corners import linear_light, refined, sharpness
from jounce.photographs.intake import Arrived
from jounce.photographs.vision import found_tiles

__all__ = ["SeenPhoto", "are_one", "on_sensor", "seen_in"]

_BLURRED = 2.6  # px, standard deviation of an edge
_FEWEST = 4  # tiles of a photograph that is worth its while
_SAME = 1e-3  # px: no two photographs show so many corners so close to each other


@dataclass(frozen=True, slots=True)
class SeenPhoto:
    """What a photograph shows.

    Attributes:
        name: of the photograph
        numbers: of its tiles, rising
        corners: of each tile, on the sensor as it read the picture; not a number where one is covered, shape (tiles, 4, 2)
            [px]
        size: width and height of the sensor [px]
        as_on_film: focal length for a picture of 36 by 24 mm [mm]; None where it was not told
        turns: how often it was turned a quarter to the right to stand upright
        blur: standard deviation of its edges [px]

    """

    name: str
    numbers: tuple[int, ...]
    corners: Array
    size: tuple[int, int]
    as_on_film: float | None
    turns: int
    blur: float

    @property
    def sides(self) -> Array:
        """Length of each tile's shortest side in the photograph, shape (tiles,) [px]."""
        return np.asarray(np.linalg.norm(self.corners - np.roll(self.corners, 1, axis=1), axis=-1).min(axis=1))

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is wrong with it, in words; empty for a good one."""
        told = []
        if len(self.numbers) < _FEWEST:
            told.append(f"{len(self.numbers)} tiles found: go back a step, or turn so that more come into the picture")
        if np.isfinite(self.blur) and self.blur > _BLURRED:
            told.append("not sharp: stand still, wait until it has focused, or give more light")
        return tuple(told)


def seen_in(photo: Arrived) -> SeenPhoto:
    """Find the tiles of a photograph.

    Args:
        photo: as it came in
    """
    found = found_tiles(photo.picture)
    rough = np.array([one.corners for one in found]).reshape(-1, 4, 2)
    corners, widths = refined(linear_light(photo.picture), rough)
    good = np.isfinite(corners).all(axis=-1).sum(axis=1) >= 3
    height, width = photo.picture.shape
    on_edge = photo.turns % 2 == 1
    return SeenPhoto(
        photo.name,
        tuple(one.number for one, fine in zip(found, good, strict=True) if fine),
        on_sensor(corners[good], (width, height), photo.turns),
        (height, width) if on_edge else (width, height),
        photo.as_on_film,
        photo.turns,
        sharpness(widths),
    )


def are_one(one: SeenPhoto, other: SeenPhoto) -> bool:
    """Whether two photographs are the same one, sent or named twice; covered corners are the same ones too.

    Args:
        one: what the one shows
        other: what the other shows
    """
    if one.numbers != other.numbers or not one.numbers:
        return False
    return np.allclose(one.corners, other.corners, rtol=0, atol=_SAME, equal_nan=True)


def on_sensor(upright: Array, size: tuple[int, int], turns: int) -> Array:
    """Places in a picture that stands upright, on the sensor as it read them, shape (..., 2) [px].

    Args:
        upright: shape (..., 2) [px]
        size: width and height of the upright picture [px]
        turns: how often it was turned a quarter to the right to stand upright [-]
    """
    u, v = upright[..., 0], upright[..., 1]
    width, height = size
    told = {
        0: (u, v),
        1: (v, width - 1 - u),
        2: (width - 1 - u, height - 1 - v),
        3: (height - 1 - v, u),
    }[turns % 4]
    return np.stack(told, axis=-1)
