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

__all__ = [
    "CELLS",
    "KINDS",
    "PAPER",
    "TOUCHING",
    "TileKind",
    "board_centres",
    "called",
    "flat_corners",
    "in_stand",
    "kind_of",
    "printed",
    "side_of",
    "stand_of",
]

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
    "pointer": TileKind(100, 103, 0.040, "together on the board of the pointer, which touches what carries no tile"),
}
"""Kinds of tiles by their words."""

PAPER = 6.2
"""From a tile's centre to the edge of its paper, in cells: cut along it [-]."""

_APART = 1.6  # sides from one tile of the pointer's board to the next
_STANDS = 1000  # a tile of the pointer is another one wherever the pointer stands

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


def board_centres(side: float) -> Array:
    """Middles of the pointer's tiles on its board, from the board's middle, by rising number, shape (4, 3) [m].

    Args:
        side: of their tags [m]
    """
    return np.asarray(_APART * flat_corners(side)[[0, 1, 3, 2]])


def in_stand(number: int, stand: int) -> int:
    """Number of a tile of the pointer where the pointer stands: a tile of its own in each stand.

    Args:
        number: as printed
        stand: place of the stand among all
    """
    return number + _STANDS * (stand + 1)


def printed(number: int) -> int:
    """Number of a tile as it is printed, wherever the pointer stands.

    Args:
        number: of the tile
    """
    return number % _STANDS


def stand_of(number: int) -> int | None:
    """Place of the pointer's stand that a number is of; None for a tile that is not the pointer's.

    Args:
        number: of the tile
    """
    return number // _STANDS - 1 if number >= _STANDS else None


def called(number: int) -> str:
    """A tile as a person is told of it.

    Args:
        number: of the tile

    >>> called(12), called(in_stand(101, 2))
    ('Tile 12', 'Tile 101 of the pointer')
    """
    return f"Tile {printed(number)}" + (" of the pointer" if number >= _STANDS else "")
