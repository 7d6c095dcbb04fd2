"""Which forces do work on which coordinates: the table by which gradients are found.

A measure's derivative by one of its vectors is a force on that vector; a force on a body's point or direction does work
on the coordinates of every body that moves it.
"""

from __future__ import annotations

from collections.abc import Sequence

from jounce.linkage.tree import Freedom, Tree
from jounce.linkage.vectors import Vectors

SLOPE, TIMES, FORCE, LESS, ON, MOVING, WAY, COORDINATE = range(8)
"""Columns: the force is a measure's slope by one of its products (the number is the entry's), times one or two, times one
base vector less another; it is exerted on a base vector; a body moves that in some way, its first coordinate is the last
column."""

WORK_COLUMNS = 8

SLIDE_ALONG, MOVE_ROUND, TURN_ROUND, MOVE_FREE, TURN_FREE, SHIFT_FREE = range(6)
"""Ways: a point slides along; a point or a direction is moved by a hinge; a point or a direction is moved by a free
body, or the point at its origin, which turning leaves where it is."""


def works_of(
    tree: Tree, vectors: Vectors, entry: int, factors: Sequence[tuple[int, int, int, int]]
) -> list[tuple[int, ...]]:
    """Rows of the table for one measure.

    Args:
        tree: the bodies
        vectors: the base vectors
        entry: the measure's first
        factors: the four base vectors of each product ``(a - b) . (c - d)``

    """
    works: list[tuple[int, ...]] = []
    for slope, (a, b, c, d) in enumerate(factors, entry):
        if (a, b) == (c, d):
            forces = [(2, a, b, a), (2, b, a, b)]
        else:
            forces = [(1, c, d, a), (1, d, c, b), (1, a, b, c), (1, b, a, d)]
        for times, force, less, on in forces:
            for body in tree.chains[vectors.body[on]]:
                way = _way(tree, vectors, on, body)
                if way >= 0:
                    works.append((slope, times, force, less, on, body, way, int(tree.first[body])))
    return works


def _way(tree: Tree, vectors: Vectors, base: int, body: int) -> int:
    """How a body moves a base vector; -1 when it does not."""
    freedom, is_point = tree.bodies[body].freedom, vectors.is_point[base]
    if freedom is Freedom.SLIDE:
        return SLIDE_ALONG if is_point else -1
    if freedom is Freedom.HINGE:
        return MOVE_ROUND if is_point else TURN_ROUND
    if not is_point:
        return TURN_FREE
    return SHIFT_FREE if vectors.at_origin(base, body) else MOVE_FREE
