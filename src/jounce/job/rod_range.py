"""How far the rods that set the toe go on their threads, and where one stays when a toe asks for more."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from jounce.layouts.naming import SideName

__all__ = ["ANY_LENGTH", "RodRange"]

_HAIR = 1e-12  # a length this near to an end is at it [m]


@dataclass(frozen=True, slots=True)
class RodRange:
    """How much longer and shorter than found a rod can be made; None where nobody told [m].

    Either is negative where a new rod cannot be as long as the one that it replaces. ``pitch`` is the change of length in a
    turn, None where nobody told it [m]; ``found`` are the lengths of those that new ones replace, by side, empty where the
    car's own stay [m].
    """

    longer: float | None = None
    shorter: float | None = None
    pitch: float | None = None
    found: Mapping[SideName, float] = field(default_factory=dict)

    def end_before(self, longer: float) -> float | None:
        """The end at which it stays where a toe asks for more; None where it can go there.

        Args:
            longer: by how much longer than found it would have to be [m]

        >>> RodRange(longer=0.004).end_before(0.006), RodRange(longer=0.004).end_before(-0.006)
        (0.004, None)
        """
        low = -math.inf if self.shorter is None else -self.shorter
        high = math.inf if self.longer is None else self.longer
        return None if low - _HAIR <= longer <= high + _HAIR else min(max(longer, low), high)


ANY_LENGTH = RodRange()
"""A range of which nothing was told."""
