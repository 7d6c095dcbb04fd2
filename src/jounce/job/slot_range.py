"""How far what moves an upper joint goes, and where it stands when an angle asks for more."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jounce.layouts.adjusters import Aim

__all__ = ["NO_END", "SlotRange"]

_HAIR = 1e-12  # a place this near to an end is at it [m]


@dataclass(frozen=True, slots=True)
class SlotRange:
    """The ways that a top plate or an upper joint goes from as found, none of them negative; None where nobody told [m].

    ``step`` is that of holes or teeth in which it is set; without one it stands anywhere. ``eccentricity`` is that of the
    eccentric bolts that move it across, which stand in their middle as found: they end where they are turned square.
    """

    inward: float | None = None
    outward: float | None = None
    fore: float | None = None
    rear: float | None = None
    step: float | None = None
    eccentricity: float | None = None

    def ends(self, aim: Aim) -> tuple[float, float]:
        """The least and the most way of what sets an angle [m].

        Args:
            aim: camber, whose way is inward, or caster, whose way is to the rear
        """
        most, least = (self.inward, self.outward) if aim == "camber" else (self.rear, self.fore)
        low, high = -math.inf if least is None else -least, math.inf if most is None else most
        if self.eccentricity is not None and aim == "camber":
            return max(low, -self.eccentricity), min(high, self.eccentricity)
        return low, high

    def bolt_turn(self, inward: float) -> float | None:
        """By how much eccentric bolts are turned from their middle, inward positive; None without such bolts [rad].

        A cam of eccentricity e on a bolt turned by an angle moves what it holds across by e times the sine of the angle.

        Args:
            inward: the joint's way from as found; beyond the eccentricity the bolt is turned square [m]

        Source: plane geometry of a circle about an eccentric point.

        >>> round(math.degrees(SlotRange(eccentricity=0.006).bolt_turn(0.003)), 9)
        30.0
        """
        if self.eccentricity is None:
            return None
        return math.asin(min(max(inward / self.eccentricity, -1.0), 1.0))

    def end_before(self, aim: Aim, way: float) -> float | None:
        """The end at which it stays where an angle asks for more; None where it can go there.

        Args:
            aim: as of `ends`
            way: what the angle asks for [m]
        """
        low, high = self.ends(aim)
        if low - _HAIR <= way <= high + _HAIR:
            return None
        return min(max(way, low), high)

    def on_step(self, aim: Aim, way: float) -> float | None:
        """The nearest place on a step within its ends; None without a step [m].

        Args:
            aim: as of `ends`
            way: what the angle asks for [m]
        """
        if self.step is None:
            return None
        low, high = (end / self.step for end in self.ends(aim))
        count: float = round(way / self.step)
        if count > high + _HAIR:
            count = math.floor(high + _HAIR)
        elif count < low - _HAIR:
            count = math.ceil(low - _HAIR)
        return count * self.step


NO_END = SlotRange()
"""A range of which nothing was told."""
