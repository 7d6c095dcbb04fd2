"""Shackles of leaf springs of another length: by half of what they get longer the body stands higher on its seat."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["LIFTS", "ShackleRange"]

LIFTS = 0.5
"""What the seat rises against the middle of both eyes for what an upright shackle gets longer [-].

The front eye stays, the rear eye goes down by all of it: the middle between them by half.
"""
_DIGITS = 12  # of a length, so that holes counted from an end are where their step says
_HAIR = 1e-12  # a length this near to an end is at it [m]


@dataclass(frozen=True, slots=True)
class ShackleRange:
    """How much longer and shorter than found shackles can be; None where nobody told [m].

    One of them is negative where the length as found is none that they can have. ``step`` is that of their holes, counted
    from ``origin``, by how much longer than found one of these makes them; without a step they are made to any length.
    """

    longer: float | None = None
    shorter: float | None = None
    step: float | None = None
    origin: float = 0.0

    @classmethod
    def of_length(cls, shortest: float, longest: float, step: float | None, found: float) -> ShackleRange:
        """Of shackles whose own length is told.

        Args:
            shortest: between their bolts [m]
            longest: between their bolts [m]
            step: of their holes, the first of which makes them shortest [m]
            found: length of those in the car [m]

        >>> ShackleRange.of_length(0.080, 0.110, 0.010, found=0.095).nearest(0.009)
        0.005
        """
        return cls(longest - found, found - shortest, step if longest > shortest else None, shortest - found)

    @property
    def one_length(self) -> bool:
        """Whether they have one length, so that nothing of them is set."""
        low, high = self.ends()
        return high - low <= _HAIR

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
        least, most = ((end - self.origin) / self.step for end in (low, high))
        count: float = round((within - self.origin) / self.step)
        count = count if math.isinf(least) else max(count, math.ceil(least - 1e-9))
        count = count if math.isinf(most) else min(count, math.floor(most + 1e-9))
        return round(self.origin + count * self.step, _DIGITS)
