"""Shackles of leaf springs of another length: by half of what they get longer the body stands higher on its seat."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["LIFTS", "ShackleRange"]

LIFTS = 0.5
"""What the seat rises against the middle of both eyes for what an upright shackle gets longer [-].

The front eye stays, the rear eye goes down by all of it: the middle between them by half.
"""
_HAIR = 1e-12  # a length this near to an end is at it [m]


@dataclass(frozen=True, slots=True)
class ShackleRange:
    """How much longer and shorter than found shackles can be, none of them negative; None where nobody told [m].

    ``step`` is that of their holes; without one they are made to any length.
    """

    longer: float | None = None
    shorter: float | None = None
    step: float | None = None

    def ends(self) -> tuple[float, float]:
        """The least and the most that they can be longer [m]."""
        low = -math.inf if self.shorter is None else -self.shorter
        return low, math.inf if self.longer is None else self.longer

    def beyond(self, longer: float) -> bool:
        """Whether a shackle would have to be longer or shorter than it can be.

        Args:
            longer: by how much longer than found [m]
        """
        low, high = self.ends()
        return not low - _HAIR <= longer <= high + _HAIR

    def nearest(self, longer: float) -> float:
        """What it can be nearest to that, by its holes and within its ends [m].

        Args:
            longer: by how much longer than found it is to be [m]

        >>> ShackleRange(longer=0.03, shorter=0.0, step=0.008).nearest(0.034)
        0.024
        """
        low, high = self.ends()
        within = min(max(longer, low), high)
        if self.step is None:
            return within
        least, most = (end / self.step for end in (low, high))
        count: float = round(within / self.step)
        count = count if math.isinf(least) else max(count, math.ceil(least - 1e-9))
        count = count if math.isinf(most) else min(count, math.floor(most + 1e-9))
        return count * self.step
