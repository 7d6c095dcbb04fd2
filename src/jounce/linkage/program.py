"""A tree and a set of measures flattened to tables, as compiled functions want them.

Three tables of whole numbers say how things hang together, three of constants where they are; the constants have their
variants first, one when all states share them. The columns of the tables are named here.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, cast

import numpy as np

from jounce.linkage.kinds import COORDINATE_SUM, MOST_PAIRS
from jounce.linkage.measures import AnyMeasure, CoordinateSum
from jounce.linkage.tree import Freedom, Tree
from jounce.linkage.vectors import Vectors
from jounce.linkage.works import WORK_COLUMNS, works_of
from jounce.numerics.arrays import Array, IntArray, numbers, ready

PARENT, FREEDOM, FIRST, SIZE, MOVERS, MOVER = range(6)
"""Columns of `Program.tree`: parent, freedom, first coordinate and number of coordinates of a body; how many bodies'
coordinates move it, and which, from the ground outwards (as many columns as are needed from the last one on)."""

BODY, IS_POINT = range(2)
"""Columns of `Program.base`: the body that carries a base vector, and whether it is a point."""

KIND, COUNT, WORKS, WORKS_END, FACTORS = range(5)
"""Columns of `Program.rows`: kind of a measure, how many products it has, its first row in `Program.works` and the one
after its last, and from the last column on for each product the four base vectors of ``(a - b) . (c - d)``. A
coordinate sum has a coordinate in place of each a."""

REFERENCE, OFFSET, AXIS = 0, 3, 6
"""Columns of `Program.frame`: a body's origin as found, the same from its parent's, and its axis."""


class Program(NamedTuple):
    """What compiled functions work on.

    Whole numbers: ``tree`` (bodies, …), ``base`` (base vectors, 2), ``rows`` (measures, …), ``works`` (see `works`).
    Constants: ``frame`` (variants, bodies, 9), ``local`` (variants, base vectors, 3) from the bodies' origins,
    ``constants`` (variants, measures, 4), which are the weights of a coordinate sum.
    """

    tree: IntArray
    base: IntArray
    rows: IntArray
    works: IntArray
    frame: Array
    local: Array
    constants: Array


def flattened(tree: Tree, measures: Sequence[AnyMeasure]) -> Program:
    """Flatten a tree and measures on it.

    Args:
        tree: the bodies
        measures: what is measured, in order

    Returns:
        The tables, all constants with the same number of variants and all complex if any is

    """
    vectors = Vectors(tree)
    rows = [_row(tree, vectors, measure) for measure in measures]
    parts = (_frame(tree), vectors.local(), _constants(measures))
    variants, dtype = max(len(part) for part in parts), np.result_type(*parts)
    table = np.array(rows, dtype=np.intp).reshape(len(measures), FACTORS + 4 * MOST_PAIRS)
    works = [works_of(tree, vectors, [] if row[KIND] == COORDINATE_SUM else _factors(row)) for row in rows]
    table[:, WORKS_END] = np.cumsum([len(work) for work in works])
    table[1:, WORKS] = table[:-1, WORKS_END]
    return Program(
        _tree_table(tree),
        np.stack((vectors.body, vectors.is_point), axis=-1).astype(np.intp),
        table,
        np.array([work for row in works for work in row], dtype=np.intp).reshape(-1, WORK_COLUMNS),
        *(ready(np.broadcast_to(part, (variants, *part.shape[1:])), dtype) for part in parts),
    )


def in_complex(program: Program) -> Program:
    """The same program with complex constants."""
    return program._replace(
        frame=_complex(program.frame), local=_complex(program.local), constants=_complex(program.constants)
    )


def real_part(program: Program) -> Program:
    """The same program without imaginary parts."""
    return program._replace(
        frame=program.frame.real.copy(), local=program.local.real.copy(), constants=program.constants.real.copy()
    )


def _complex(array: Array) -> Array:
    return cast("Array", array.astype(np.complex128))


def _frame(tree: Tree) -> Array:
    """Origins, the same from their parents', and axes; where either has variants, all have."""
    origin = tree.origin + 0.0 * tree.axis
    axis = tree.axis + 0.0 * tree.origin
    return np.concatenate((origin, origin - origin[:, tree.parent], axis), axis=-1)


def _tree_table(tree: Tree) -> IntArray:
    table = np.zeros((len(tree.bodies), MOVER + max(len(chain) for chain in tree.chains)), dtype=np.intp)
    for i, body in enumerate(tree.bodies):
        chain = tree.chains[i]
        table[i, :MOVER] = tree.parent[i], body.freedom.value, tree.first[i], body.freedom.coordinates, len(chain)
        table[i, MOVER : MOVER + len(chain)] = chain
    return table


def _row(tree: Tree, vectors: Vectors, measure: AnyMeasure) -> list[int]:
    """One row of the table of measures."""
    if isinstance(measure, CoordinateSum):
        factors = [number for body in measure.weights for number in (tree.coordinate(body), 0, 0, 0)]
        kind = COORDINATE_SUM
    else:
        factors = [end for a, b in measure.pairs for end in (*vectors.ends(a), *vectors.ends(b))]
        kind = measure.kind
    if len(factors) > 4 * MOST_PAIRS:
        raise ValueError(f"a measure of more than {MOST_PAIRS} terms")
    return [kind, len(factors) // 4, 0, 0, *factors, *[0] * (4 * MOST_PAIRS - len(factors))]


def _factors(row: Sequence[int]) -> list[tuple[int, int, int, int]]:
    """The four base vectors of each of a row's products."""
    ends = row[FACTORS : FACTORS + 4 * row[COUNT]]
    return [(ends[i], ends[i + 1], ends[i + 2], ends[i + 3]) for i in range(0, len(ends), 4)]


def _constants(measures: Sequence[AnyMeasure]) -> Array:
    """Constants of all rows, shape (variants or 1, rows, 4)."""
    given = [
        [np.atleast_1d(numbers(c)) for c in (m.weights.values() if isinstance(m, CoordinateSum) else m.constants)]
        for m in measures
    ]
    every = [constant for row in given for constant in row]
    variants = max((len(constant) for constant in every), default=1)
    array = np.zeros((variants, len(measures), MOST_PAIRS), np.result_type(np.float64, *every))
    for i, row in enumerate(given):
        for k, constant in enumerate(row):
            array[:, i, k] = constant
    return array


def dependencies(tree: Tree, measures: Sequence[AnyMeasure]) -> tuple[frozenset[int], ...]:
    """Coordinates that each measure truly depends on: a motion that all its vectors share does not change it.

    Args:
        tree: the bodies
        measures: what is measured, in order

    """
    vectors = Vectors(tree)
    return tuple(_depends(tree, vectors, measure) for measure in measures)


def _depends(tree: Tree, vectors: Vectors, measure: AnyMeasure) -> frozenset[int]:
    if isinstance(measure, CoordinateSum):
        return frozenset(tree.coordinate(body) for body in measure.weights)
    found: set[int] = set()
    for a, b, c, d in _factors(_row(tree, vectors, measure)):
        for body in range(len(tree.bodies)):
            found |= _turns(tree, vectors, ((a, b), (c, d)), body) | _slides(tree, vectors, ((a, b), (c, d)), body)
    return frozenset(found)


Factors = tuple[tuple[int, int], tuple[int, int]]


def _turns(tree: Tree, vectors: Vectors, factors: Factors, body: int) -> set[int]:
    """A body's turning coordinates that change a product."""
    left, right = (vectors.turned_by(ends, body) for ends in factors)
    if not (left[1] or right[1] or left[0] != right[0]):
        return set()
    first = int(tree.first[body])
    turning = {Freedom.HINGE: {first}, Freedom.FREE: {first + 3, first + 4, first + 5}}
    return turning.get(tree.bodies[body].freedom, set())


def _slides(tree: Tree, vectors: Vectors, factors: Factors, body: int) -> set[int]:
    """A body's sliding coordinates that change a product."""
    first, freedom, found = int(tree.first[body]), tree.bodies[body].freedom, set()
    for ends, other in (factors, factors[::-1]):
        if not vectors.slid_by(ends, body):
            continue
        if freedom is Freedom.SLIDE:
            found.add(first)
        elif freedom is Freedom.FREE:
            found.update(first + axis for axis in range(3) if vectors.along_axis(other, axis))
    return found
