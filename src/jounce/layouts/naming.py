"""Names of bodies, joints and measures: ``axle.side.thing`` or ``axle.thing``, the same for every layout."""

from __future__ import annotations

from typing import Literal

SideName = Literal["left", "right"]
SIDES: tuple[SideName, SideName] = ("left", "right")


def outward(side: SideName) -> float:
    """+1 for the left side, -1 for the right: the sense of y that points away from the centre plane [-]."""
    return 1.0 if side == "left" else -1.0


def named(axle: str, *parts: str) -> str:
    """Full name of something on an axle.

    >>> named("front", "left", "travel")
    'front.left.travel'
    """
    return ".".join((axle, *parts))
