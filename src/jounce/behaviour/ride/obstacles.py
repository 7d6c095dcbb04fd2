"""Single obstacles on a level road: bump, speed hump, pothole, step, or any profile of heights, under one or both wheels.

A tyre rolls over what is shorter than itself: its centre follows the profile as a rigid wheel would, which never goes
deeper into a hole or up an edge faster than the round of it lets it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.numerics.arrays import Array

GRID = 0.005
"""Distance of the heights kept [m]."""

WheelsOver = Literal["both", "left", "right"]


@dataclass(frozen=True, slots=True)
class Profile:
    """Heights of the road under the left and the right wheels, even before it and level after its last height.

    Attributes:
        name: what it is
        left: heights every `GRID` from the obstacle's beginning, shape (places,) [m]
        right: the same under the right wheels [m]

    """

    name: str
    left: Array
    right: Array

    @property
    def length(self) -> float:
        """Length of what is kept [m]."""
        return GRID * (len(self.left) - 1)

    def under(self, wheels: WheelsOver) -> Profile:
        """The same under one pair of wheels alone."""
        if wheels == "both":
            return self
        level = np.zeros_like(self.left)
        name = f"{self.name}, {wheels} wheels"
        return replace(
            self,
            name=name,
            left=self.left if wheels == "left" else level,
            right=self.right if wheels == "right" else level,
        )

    def rolled(self, radius: float) -> Profile:
        """What the centre of a rigid wheel follows, less its radius: begins a radius earlier and ends one later.

        ``max over s of h(x + s) + sqrt(R² - s²) - R``

        Args:
            radius: R of the wheel [m]
        """
        return replace(self, left=_rolled(self.left, radius), right=_rolled(self.right, radius))


def _rolled(heights: Array, radius: float) -> Array:
    reach = int(np.ceil(radius / GRID))
    before, after = np.full(2 * reach, heights[0]), np.full(2 * reach, heights[-1])
    wide = np.concatenate((before, heights, after))
    offset = GRID * np.arange(-reach, reach + 1)
    drop = radius - np.sqrt(np.maximum(radius**2 - offset**2, 0.0))
    windows = np.lib.stride_tricks.sliding_window_view(wide, 2 * reach + 1)
    return np.asarray((windows - drop).max(axis=1))


def profile(name: str, place: Array, height: Array) -> Profile:
    """A profile from heights at places along the road, the same under both wheels; straight lines between.

    Args:
        name: what it is
        place: rising, from the obstacle's beginning, shape (places,) [m]
        height: above the level before it, shape (places,) [m]

    Raises:
        InputError: places that do not rise, a height that is no number, or a jump above half a metre
    """
    place, height = np.asarray(place, float), np.asarray(height, float)
    if len(place) < 2 or place.shape != height.shape or not np.all(np.diff(place) > 0):
        raise InputError(
            "The places of a road profile must rise, one height each",
            found=f"{place.size} places",
            todo="Put the rows in order along the road, each place once.",
        )
    check_range("A height of the road", height, -0.5, 0.5, "m", "Check the number and its unit.")
    even = np.arange(0.0, place[-1] - place[0] + GRID, GRID)
    heights = np.interp(even + place[0], place, height) - height[0]
    return Profile(name, heights, heights)


def bump(height: float, length: float) -> Profile:
    """A single rounded bump: half of a cosine's swing up and down, ``h (1 - cos(2π x / l)) / 2``.

    Args:
        height: h, negative for a dip [m]
        length: l along the road [m]
    """
    place = np.linspace(0.0, length, max(int(length / GRID) + 1, 9))
    return profile("bump", place, 0.5 * height * (1 - np.cos(2 * np.pi * place / length)))


def hump(height: float = 0.075, length: float = 3.7) -> Profile:
    """A round-topped speed hump: an arc of a circle; 75 mm over 3.7 m is common practice.

    Args:
        height: in its middle [m]
        length: along the road [m]
    """
    radius = (length**2 / 4 + height**2) / (2 * height)
    place = np.linspace(0.0, length, max(int(length / GRID) + 1, 9))
    return profile("speed hump", place, np.sqrt(radius**2 - (place - length / 2) ** 2) - radius + height)


def pothole(depth: float = 0.050, length: float = 0.6, edge: float = 0.02) -> Profile:
    """A hole with steep edges.

    Args:
        depth: of its flat bottom [m]
        length: along the road, edges included [m]
        edge: length of each edge along the road [m]
    """
    return profile("pothole", np.array([0.0, edge, length - edge, length]), np.array([0.0, -depth, -depth, 0.0]))


def step(height: float = 0.030, edge: float = 0.01) -> Profile:
    """A kerb or joint that the road stays above or below of afterwards.

    Args:
        height: up, or down where negative [m]
        edge: length of the edge along the road [m]
    """
    return profile("step", np.array([0.0, edge, edge + 0.1]), np.array([0.0, height, height]))


OBSTACLES = {"bump": bump(0.05, 1.0), "hump": hump(), "pothole": pothole(), "step": step()}
"""Obstacles by the word of the command line."""
