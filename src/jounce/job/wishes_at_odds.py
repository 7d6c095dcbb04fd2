"""Heights and cross weight that no springs give together: by how much they contradict each other, and which would not.

A body is stiff and stands on four tyres: springs lift it, pitch it and lean it, and move load from one diagonal to the
other. That is four things. Four heights and the cross weight are five wishes, so one combination of them, a twist of the
heights against the cross weight, is not theirs to give. What is wanted of it is missed whatever the springs are.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jounce.conventions.axes import CORNERS, Corner
from jounce.conventions.units import MM, Kind
from jounce.job.sentence import Amount, Sentence, length, say
from jounce.job.springs_together import CROSS_OF_A_LENGTH
from jounce.numerics.arrays import Array

__all__ = ["TOLD_FROM", "WishesAtOdds", "wishes_at_odds"]

TOLD_FROM = MM / 2
"""What a corner has to miss before it is told: half of what a tape misreads, common practice, no source [m]."""


@dataclass(frozen=True, slots=True)
class WishesAtOdds:
    """What of the wishes no springs give.

    Attributes:
        lower_by: how much lower than wanted each corner stands at the least, negative for higher [m]
        rear_lean: how much lower the rear left and higher the rear right would have to be wanted instead [m]
        front_lean: the same of the front [m]; either one alone puts the heights into a plane
        cross_share: the cross weight that goes with the heights wanted [-]
        by_cross: whether it is the cross weight wanted that twists them, rather than the heights themselves

    """

    lower_by: Mapping[Corner, float]
    rear_lean: float
    front_lean: float
    cross_share: float
    by_cross: bool

    @property
    def each(self) -> float:
        """The most that a corner misses its height by, with nothing rounded [m]."""
        return max(map(abs, self.lower_by.values()))

    @property
    def twist(self) -> float:
        """What would have to be taken out of the four heights together [m]."""
        return sum(map(abs, self.lower_by.values()))

    @property
    def telling(self) -> bool:
        """Whether a tape finds it."""
        return self.each >= TOLD_FROM

    def values(self) -> dict[str, object]:
        """The same as plain data, SI, corners by name; a cross weight of no car is none."""
        return {
            "lower_by": {".".join(corner): by for corner, by in self.lower_by.items()},
            "twist": self.twist,
            "front_lean": self.front_lean,
            "rear_lean": self.rear_lean,
            "cross_share": self.cross_share if 0.0 < self.cross_share < 1.0 else None,
            "by_cross": self.by_cross,
            "telling": self.telling,
        }

    def told(self) -> Sentence:
        """The whole of it, and what to ask for instead."""
        both = length(self.twist, fine=True), length(self.each, fine=True)
        if self.by_cross:
            return say(
                "The heights and the cross weight wanted contradict each other by {} of twist, which no springs give a "
                "stiff body; it is shared by all corners, {} each. Ask for {} of cross weight, or for other heights.",
                *both,
                Amount(self.cross_share, Kind.SHARE),
            )
        return say(
            "The four heights wanted lie in no plane: {} of twist, which no springs give a stiff body; it is shared by all "
            "corners, {} each. Ask for the rear {}, or for the front {}.",
            *both,
            _leaning(self.rear_lean),
            _leaning(self.front_lean),
        )


def _leaning(lean: float) -> Sentence:
    ways = ("lower", "higher") if lean > 0 else ("higher", "lower")
    by = length(abs(lean), fine=True)
    return say(f"left {{}} {ways[0]} and right {{}} {ways[1]} than now", by, by)


def wishes_at_odds(slopes: Array, missed: Array, asked: Array, cross_share: float) -> WishesAtOdds:
    """What no springs give: the part of what is missed that lies across everything that springs move.

    Where a spring is loose as the car stands, setting it moves nothing, and what is missed is not the wishes' fault: then
    they are not at odds.

    Args:
        slopes: of what is missed by each of the four springs, as of `springs_together.slopes_of`, shape (5, 4)
        missed: what the car misses as planned, as of `springs_together.misses_of`, shape (5,) [m]
        asked: by how much it is wanted otherwise than it was found, in the same way, shape (5,) [m]
        cross_share: the cross weight wanted [-]
    """
    most = np.abs(slopes).max(axis=0)
    if not most.all():
        return WishesAtOdds(dict.fromkeys(CORNERS, 0.0), 0.0, 0.0, cross_share, by_cross=False)
    # The direction that is at right angles to all columns: least misses lie along it alone.
    across = np.linalg.svd(slopes / most)[0][:, -1]
    apart = float(across @ missed)
    least = across * apart
    front, rear = across[0] - across[1], across[2] - across[3]
    by = np.abs(np.array([across[:4] @ asked[:4], across[4] * asked[4]]))
    more = apart / across[4] * CROSS_OF_A_LENGTH if across[4] else math.inf
    return WishesAtOdds(
        dict(zip(CORNERS, map(float, least[:4]), strict=True)),
        float(apart / rear),
        float(apart / front),
        cross_share + float(more),
        bool(by[1] > by[0]),
    )
