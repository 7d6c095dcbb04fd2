"""Names of axes, ends and sides, and the mirror between the sides.

Axes follow ISO 8855: x forward, y left, z up, right-handed, fixed to the body. The origin lies on the centre plane, on
the ground, under the front wheel centres, with the car standing as it was measured.
"""

from __future__ import annotations

from enum import IntEnum, StrEnum
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["CORNERS", "ENDS", "MIRROR", "SIDES", "Axis", "Corner", "End", "Side", "mirrored"]


class Axis(IntEnum):
    """Index of a coordinate in a point."""

    X = 0
    """forward"""
    Y = 1
    """to the left"""
    Z = 2
    """up"""


class End(StrEnum):
    """An end of the car; equal to its name in a file."""

    FRONT = "front"
    REAR = "rear"


class Side(StrEnum):
    """A side of the car, as seen from the driver's seat; equal to its name in a file."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def outward(self) -> int:
        """Sign of y that points away from the centre plane: +1 on the left, -1 on the right."""
        return 1 if self is Side.LEFT else -1

    @property
    def other(self) -> Side:
        """The opposite side."""
        return Side.RIGHT if self is Side.LEFT else Side.LEFT


ENDS: tuple[End, End] = (End.FRONT, End.REAR)
SIDES: tuple[Side, Side] = (Side.LEFT, Side.RIGHT)

Corner = tuple[str, Literal["left", "right"]]
"""A wheel of the car by the names of its axle and side."""
CORNERS: tuple[Corner, ...] = (("front", "left"), ("front", "right"), ("rear", "left"), ("rear", "right"))

MIRROR: tuple[tuple[float, float, float], ...] = ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
"""Matrix that carries a point to the other side of the centre plane (x, -y, z)."""


def mirrored(point: Sequence[float]) -> tuple[float, float, float]:
    """The same point on the other side of the car.

    Args:
        point: body frame, shape (3,) [m]

    Returns:
        (x, -y, z) [m]

    >>> mirrored((0.1, 0.5, 0.2))
    (0.1, -0.5, 0.2)

    """
    x, y, z = point
    return (x, -y, z)
