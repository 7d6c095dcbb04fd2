"""Bodies, how they may move, and where they are.

Free bodies are placed relative to the ground, all others relative to their parent. A free body's six increments are
the displacement of its origin and a rotation vector composed on the left, both in the ground's axes. All points are
given where they stand in the reference pose (as found), in the ground's axes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

import numpy as np

from jounce.numerics.arrays import Array, BoolArray, IntArray, numbers

GROUND = "ground"


class Freedom(Enum):
    """How a body may move relative to its parent (a free body: relative to the ground)."""

    FIXED = 0
    HINGE = 1
    SLIDE = 2
    FREE = 6

    @property
    def coordinates(self) -> int:
        """Number of coordinates that place the body [-]."""
        return {Freedom.FIXED: 0, Freedom.HINGE: 1, Freedom.SLIDE: 1, Freedom.FREE: 6}[self]


@dataclass(frozen=True, slots=True)
class Body:
    """A rigid body in its reference pose.

    ``origin`` is the hinge point of a hinged body and the reference point of any other, shape (3,) or (variants, 3)
    [m]; ``axis`` is the unit axis of a hinge or slide (right-handed angle, or positive displacement along it).
    """

    name: str
    freedom: Freedom
    origin: Array
    axis: Array | None = None
    parent: str = GROUND


@dataclass(frozen=True, slots=True)
class Point:
    """A point fixed to a body, at its reference position [m]."""

    body: str
    at: Array


@dataclass(frozen=True, slots=True)
class Direction:
    """A unit vector fixed to a body, in its reference direction [-]."""

    body: str
    along: Array


@dataclass(frozen=True, slots=True)
class Segment:
    """The vector from one point to another [m]."""

    start: Point
    end: Point


Vector = Point | Direction | Segment


@dataclass(frozen=True, slots=True)
class Pose:
    """Where every body is, for a batch of states (first axis).

    ``rotation`` (states, bodies, 3, 3) and ``origin`` (states, bodies, 3) hold every body; ``coordinate``
    (states, coordinates) holds hinge angles [rad] and slides [m] (zero for free bodies, whose place is in the others).
    """

    rotation: Array
    origin: Array
    coordinate: Array

    def __len__(self) -> int:
        """Number of states in the batch."""
        return len(self.coordinate)

    def take(self, states: IntArray | BoolArray) -> Pose:
        """The chosen states only, as a new batch."""
        return Pose(self.rotation[states], self.origin[states], self.coordinate[states])

    def put(self, states: IntArray | BoolArray, other: Pose) -> Pose:
        """A copy in which the chosen states are those of ``other``."""
        merged = Pose(self.rotation.copy(), self.origin.copy(), self.coordinate.copy())
        merged.rotation[states] = other.rotation
        merged.origin[states] = other.origin
        merged.coordinate[states] = other.coordinate
        return merged


class Tree:
    """Bodies in order from the ground outwards."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        self.bodies = (Body(GROUND, Freedom.FIXED, np.zeros(3)), *bodies)
        self.index: Mapping[str, int] = {body.name: i for i, body in enumerate(self.bodies)}
        if len(self.index) != len(self.bodies):
            raise ValueError("two bodies have the same name")
        self.parent = np.array([0 if i == 0 else self.index[b.parent] for i, b in enumerate(self.bodies)])
        if any(p >= i for i, p in enumerate(self.parent) if i):
            raise ValueError("a body must be listed after its parent")
        self.origin = stacked([b.origin for b in self.bodies])
        self.axis = stacked([np.zeros(3) if b.axis is None else b.axis for b in self.bodies])
        self.first = np.concatenate(([0], np.cumsum([b.freedom.coordinates for b in self.bodies])))
        self.size = int(self.first[-1])

    @cached_property
    def chains(self) -> tuple[tuple[int, ...], ...]:
        """For each body the bodies whose coordinates move it, from the ground outwards, itself the last."""
        chains: list[tuple[int, ...]] = []
        for i, body in enumerate(self.bodies):
            inner = () if i == 0 or body.freedom is Freedom.FREE else chains[self.parent[i]]
            chains.append(inner if body.freedom is Freedom.FIXED else (*inner, i))
        return tuple(chains)

    def coordinate(self, body: str) -> int:
        """Index of the (first) coordinate of a body."""
        return int(self.first[self.index[body]])

    def reference_pose(self, states: int) -> Pose:
        """All bodies as found, for a batch of the given size."""
        n = len(self.bodies)
        rotation = np.broadcast_to(np.eye(3, dtype=self.origin.dtype), (states, n, 3, 3)).copy()
        origin = np.broadcast_to(self.origin, (states, n, 3)).copy()
        return Pose(rotation, origin, np.zeros((states, self.size), self.origin.dtype))


def stacked(values: Sequence[Array]) -> Array:
    """Constants as one array (variants or 1, items, 3): a constant without variants serves all of them."""
    rows = [np.atleast_2d(numbers(v)) for v in values]
    variants = max((len(r) for r in rows), default=1)
    return np.stack([np.broadcast_to(r, (variants, 3)) for r in rows], axis=1) if rows else np.zeros((1, 0, 3))
