"""The printed tiles: their numbers, sizes and shape.

A tile is a tag of the open 36h11 family with a black square touching each corner, so that every corner is a saddle: two
black and two white fields that meet at a point. Its frame: x right, y up, z out of the paper, origin in the tag's centre.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError
from jounce.numerics.arrays import Array

__all__ = ["CELLS", "KINDS", "PAPER", "TOUCHING", "TileKind", "flat_corners", "kind_of", "side_of"]

CELLS = 8
"""Across a tag with its black border [-]."""

TOUCHING = 1.6
"""Side of the black square that touches each corner, in cells [-]."""


@dataclass(frozen=True, slots=True)
class TileKind:
    """A kind of tile, told by its numbers.

    Attributes:
        first: its first number
        last: its last number
        side: of the tag with its black border, as printed [m]
        said: what it is for

    """

    first: int
    last: int
    side: float
    said: str


KINDS: Mapping[str, TileKind] = {
    "control": TileKind(0, 59, 0.060, "on sill, wing, wheel and boards on the floor: they hold everything together"),
    "pivot": TileKind(60, 99, 0.040, "on the pivots that are sought"),
}
"""Kinds of tiles by their words."""

PAPER = 6.2
"""From a tile's centre to the edge of its paper, in cells: cut along it [-]."""

_SIGNS = np.array([[-1.0, 1.0, 0.0], [1.0, 1.0, 0.0], [1.0, -1.0, 0.0], [-1.0, -1.0, 0.0]])


def flat_corners(side: float) -> Array:
    """Corners of a tag in its own frame: upper left, upper right, lower right, lower left, shape (4, 3) [m].

    Args:
        side: of the tag with its black border [m]
    """
    return np.asarray(0.5 * side * _SIGNS)


def kind_of(number: int) -> str:
    """Which kind a tile is.

    Args:
        number: of the tile

    Raises:
        InputError: no tile of ours has this number

    >>> kind_of(61)
    'pivot'
    """
    for word, kind in KINDS.items():
        if kind.first <= number <= kind.last:
            return word
    raise InputError(
        "There is no tile of this number", found=str(number), allowed=f"0 to {max(one.last for one in KINDS.values())}"
    )


def side_of(number: int) -> float:
    """Side of a tile as the sheets have it [m].

    Args:
        number: of the tile
    """
    return KINDS[kind_of(number)].side
