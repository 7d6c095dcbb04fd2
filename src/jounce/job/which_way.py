"""Which way a setting is turned, and seen from where: read from the places of the joints, not from the car's type."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.job.index.hanging import hanging_point
from jounce.layouts.axle import AxleLinkage
from jounce.layouts.naming import SideName

__all__ = ["TIE_ROD", "WindingWay", "winding_way"]

TIE_ROD = (
    "A tie rod with a right-hand thread at its outer end gets longer when it is turned clockwise, seen from the wheel"
)
_TINY = 1e-3


@dataclass(frozen=True, slots=True)
class WindingWay:
    """A sense of turning as somebody sees it who stands ``seen``.

    ``outward`` is on which side of the bar the arm lies for that eye: 1 to the right, -1 to the left.
    """

    clockwise: bool
    seen: str
    outward: int

    @property
    def winds_up(self) -> str:
        """The sense that winds the bar up and lifts the car."""
        return _word(clockwise=self.clockwise)

    @property
    def lets_down(self) -> str:
        """The other sense."""
        return _word(clockwise=not self.clockwise)


def winding_way(linkage: AxleLinkage, side: SideName) -> WindingWay | None:
    """The sense in which a torsion bar's arm goes down on its bar: that winds the bar up and lifts the car.

    A bar along the car is seen from the front, one across it from the left. The eye sees a turn about the axis that points
    at it as anticlockwise (right-hand rule).

    Args:
        linkage: the axle, its arms turning on the car's body
        side: which side

    Returns:
        The way; None where no point of the arm is known by which it could be told.
    """
    point = hanging_point(linkage, side)
    if point is None:
        return None
    turn = np.ravel(np.asarray(point.arm.axis)) * -np.sign(float(point.rise(_TINY)[0]))
    along = abs(turn[0]) >= abs(turn[1])
    lever = np.ravel(point.at) - np.ravel(np.asarray(point.arm.origin))
    # From the front, left is on the right hand; from the left, the rear is.
    outward = lever[1] if along else -lever[0]
    seen = "from the front of the car" if along else "from the left of the car"
    return WindingWay(bool(turn[0 if along else 1] < 0), seen, 1 if outward > 0 else -1)


def _word(*, clockwise: bool) -> str:
    return "clockwise" if clockwise else "anticlockwise"
