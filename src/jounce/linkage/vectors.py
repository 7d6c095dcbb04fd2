"""The points, directions and segments that measures use, numbered without repeats."""

from __future__ import annotations

import numpy as np

from jounce.linkage.tree import Direction, Point, Segment, Tree, Vector
from jounce.numerics.arrays import Array, numbers


class Vectors:
    """Base vectors: points and directions of bodies; any vector is the difference of two of them.

    Base vector 0 is zero and stands where nothing is to be taken away.
    """

    def __init__(self, tree: Tree) -> None:
        self.tree = tree
        self.body = [0]
        self.reference = [np.zeros(3)]
        self.is_point = [False]
        self._known: dict[tuple[object, ...], int] = {}

    def ends(self, vector: Vector) -> tuple[int, int]:
        """Numbers of the base vectors whose difference the vector is, added when new."""
        if isinstance(vector, Segment):
            return self._base(vector.end), self._base(vector.start)
        return self._base(vector), 0

    def _base(self, vector: Point | Direction) -> int:
        is_point = isinstance(vector, Point)
        value = numbers(vector.at if isinstance(vector, Point) else vector.along)
        key = (is_point, vector.body, value.shape, value.dtype.char, value.tobytes())
        if key not in self._known:
            self._known[key] = len(self.body)
            self.body.append(self.tree.index[vector.body])
            self.reference.append(value)
            self.is_point.append(is_point)
        return self._known[key]

    def local(self) -> Array:
        """Base vectors from their bodies' origins, shape (variants or 1, base vectors, 3)."""
        rows = [
            np.atleast_2d(value) - (self.tree.origin[:, body] if is_point else 0.0)
            for value, body, is_point in zip(self.reference, self.body, self.is_point, strict=True)
        ]
        variants = max(len(row) for row in rows)
        return np.stack([np.broadcast_to(row, (variants, 3)) for row in rows], axis=1)

    def turned_by(self, ends: tuple[int, int], body: int) -> tuple[bool, bool]:
        """Whether a vector is turned as a whole, and whether it is changed in any other way, by a body's own turning.

        A segment with both ends on what the body carries is turned as a whole. A point at the origin of the body that
        turns stays where it is.
        """
        plus, minus = (self._carries(body, end) for end in ends)
        if not self.is_point[ends[0]] or (plus and minus):
            return plus, False
        changed = [self._carries(body, end) and not self.at_origin(end, body) for end in ends]
        return False, any(changed)

    def slid_by(self, ends: tuple[int, int], body: int) -> bool:
        """Whether a vector changes when a body slides: a segment does that has one end only on what the body carries."""
        plus, minus = (self.is_point[end] and self._carries(body, end) for end in ends)
        return plus != minus

    def along_axis(self, ends: tuple[int, int], axis: int) -> bool:
        """Whether a vector has, or may come to have, a component along an axis of the ground."""
        still = self.body[ends[0]] == 0 and self.body[ends[1]] == 0 and not self.is_point[ends[0]]
        return not still or bool(np.any(np.atleast_2d(self.reference[ends[0]])[:, axis] != 0))

    def _carries(self, body: int, base: int) -> bool:
        return body in self.tree.chains[self.body[base]]

    def at_origin(self, base: int, body: int) -> bool:
        """Whether a base vector is the point at a body's origin, in all variants."""
        reference = np.atleast_2d(self.reference[base])
        return self.body[base] == body and bool(np.all(reference == self.tree.origin[:, body]))
