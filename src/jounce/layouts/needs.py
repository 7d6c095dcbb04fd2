"""What the points of an axle must not do: be one where they are two, lie on a line that something turns about.

Each layout states it for itself, by the names of its pivots. `other.tube_end` is the pivot of the other side of the car,
`panhard.body_end` a point of the axle as a whole in that section of the car file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array

__all__ = ["LEAST_DISTANCE", "Apart", "Need", "Off", "Unmet", "ends_apart", "names_of", "unmet"]

LEAST_DISTANCE = 1e-3
"""Two points closer than this are one point entered twice; a point this close to a line lies on it [m]."""


@dataclass(frozen=True, slots=True)
class Apart:
    """Two points that are not one."""

    one: str
    other: str


@dataclass(frozen=True, slots=True)
class Off:
    """A point that does not lie on the line through two others; ``why`` says what could not be if it did."""

    point: str
    line: tuple[str, str]
    why: str


Need = Apart | Off


@dataclass(frozen=True, slots=True)
class Unmet:
    """A need that is not met: what is left between its point and the other, or the line [m]."""

    need: Need
    left: float


def ends_apart(*parts: str, ends: tuple[str, str]) -> tuple[Apart, ...]:
    """The two ends of each part are not one point.

    Args:
        parts: beginnings of the pivots' names
        ends: what follows them

    """
    return tuple(Apart(f"{part}_{ends[0]}", f"{part}_{ends[1]}") for part in parts)


def names_of(need: Need) -> tuple[str, ...]:
    """All points that a need speaks of, that to measure again first.

    Args:
        need: the need

    """
    return (need.other, need.one) if isinstance(need, Apart) else (need.point, *need.line)


def unmet(needs: tuple[Need, ...], points: Mapping[str, Array]) -> Iterator[Unmet]:
    """Needs that are not met; one that speaks of a point which is not given is met.

    Two points that are one are told once, and not again as a point on a line through the other.

    Args:
        needs: what is needed
        points: the points by name, each (3,) [m]

    """
    one: set[str] = set()
    for need in sorted(needs, key=lambda need: isinstance(need, Off)):
        if isinstance(need, Off) and len(one & {*names_of(need)}) > 1:
            continue
        if all(name in points for name in names_of(need)):
            left = _left(need, points)
            if not left > LEAST_DISTANCE:
                one |= {*names_of(need)}
                yield Unmet(need, left)


def _left(need: Need, points: Mapping[str, Array]) -> float:
    if isinstance(need, Apart):
        return float(np.linalg.norm(points[need.one] - points[need.other]))
    start, end = (points[name] for name in need.line)
    along = float(np.linalg.norm(end - start))
    if along <= LEAST_DISTANCE:  # two points that are one are a need of their own
        return np.inf
    return float(np.linalg.norm(np.cross(points[need.point] - start, (end - start) / along)))
