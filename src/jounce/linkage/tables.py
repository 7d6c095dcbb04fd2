"""A tree and a set of measures flattened to tables, as compiled functions want them.

Tables of whole numbers say how things hang together, tables of constants where they are; the constants have their
variants first, one when all states share them. The columns of the tables are named here.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, cast

import numpy as np

from jounce.linkage.kinds import COORDINATE_SUM, MOST_PAIRS
from jounce.linkage.measures import AnyMeasure, CoordinateSum, Measure
from jounce.linkage.tree import Freedom, Tree
from jounce.linkage.vectors import Vectors
from jounce.linkage.virtual_work import WORK_COLUMNS, works_of
from jounce.numerics.arrays import Array, IndexArray, numbers, ready

PARENT, FREEDOM, FIRST, SIZE, MOVERS, MOVER = range(6)
"""Columns of `Tables.tree`: parent, freedom, first coordinate and number of coordinates of a body; how many bodies'
coordinates move it, and which, from the ground outwards (as many columns as are needed from the last one on)."""

BODY, IS_POINT = range(2)
"""Columns of `Tables.base`: the body that carries a base vector, and whether it is a point."""

KIND, ENTRY, ENTRIES_END, WORKS, WORKS_END = range(5)
"""Columns of `Tables.rows`: kind of a measure, its first row in `Tables.entry` and the one after its last, and the same
in `Tables.works`."""

REFERENCE, OFFSET, AXIS = 0, 3, 6
"""Columns of `Tables.frame`: a body's origin as found, the same from its parent's, and its axis."""


class Tables(NamedTuple):
    """What compiled functions work on.

    Whole numbers: ``tree`` (bodies, …), ``base`` (base vectors, 2), ``rows`` (measures, 5), ``entry`` (entries,) with the
    number of a product, or of a coordinate where the row is a sum of them, ``product`` (products, 4) with the four base
    vectors of ``(a - b) . (c - d)``, ``works`` (see `virtual_work`).
    Constants: ``frame`` (variants, bodies, 9), ``local`` (variants, base vectors, 3) from the bodies' origins,
    ``constants`` (variants, measures, 4), which are the weights of a coordinate sum.
    """

    tree: IndexArray
    base: IndexArray
    rows: IndexArray
    entry: IndexArray
    product: IndexArray
    works: IndexArray
    frame: Array
    local: Array
    constants: Array


Factors = tuple[int, int, int, int]
"""The four base vectors of a product ``(a - b) . (c - d)``."""


def flattened(tree: Tree, measures: Sequence[AnyMeasure]) -> Tables:
    """Flatten a tree and measures on it.

    Args:
        tree: the bodies
        measures: what is measured, in order

    Returns:
        The tables, all constants with the same number of variants and all complex if any is

    """
    vectors = Vectors(tree)
    known: dict[Factors, int] = {}
    entry: list[int] = []
    rows: list[tuple[int, ...]] = []
    works: list[tuple[int, ...]] = []
    for measure in measures:
        first, first_work = len(entry), len(works)
        if isinstance(measure, CoordinateSum):
            kind = COORDINATE_SUM
            entry += [tree.coordinate(body) for body in measure.weights]
        else:
            kind, factors = measure.kind, _factors(vectors, measure)
            entry += [known.setdefault(four, len(known)) for four in factors]
            works += works_of(tree, vectors, first, factors)
        if len(entry) - first > MOST_PAIRS:
            raise ValueError(f"a measure of more than {MOST_PAIRS} terms")
        rows.append((kind, first, len(entry), first_work, len(works)))
    parts = (_frame(tree), vectors.local(), _constants(measures))
    variants, dtype = max(len(part) for part in parts), np.result_type(*parts)
    return Tables(
        _tree_table(tree),
        np.stack((vectors.body, vectors.is_point), axis=-1).astype(np.uintp),
        np.array(rows, np.uintp).reshape(-1, 5),
        np.array(entry, np.uintp),
        np.array(list(known), np.uintp).reshape(-1, 4),
        np.array(works, np.uintp).reshape(-1, WORK_COLUMNS),
        *(ready(np.broadcast_to(part, (variants, *part.shape[1:])), dtype) for part in parts),
    )


def in_complex(tables: Tables) -> Tables:
    """The same tables with complex constants."""
    return tables._replace(
        frame=_complex(tables.frame), local=_complex(tables.local), constants=_complex(tables.constants)
    )


def real_part(tables: Tables) -> Tables:
    """The same tables without imaginary parts."""
    return tables._replace(
        frame=tables.frame.real.copy(), local=tables.local.real.copy(), constants=tables.constants.real.copy()
    )


def _complex(array: Array) -> Array:
    return cast("Array", array.astype(np.complex128))


def _frame(tree: Tree) -> Array:
    """Origins, the same from their parents', and axes; where either has variants, all have."""
    origin = tree.origin + 0.0 * tree.axis
    axis = tree.axis + 0.0 * tree.origin
    return np.concatenate((origin, origin - origin[:, tree.parent], axis), axis=-1)


def _tree_table(tree: Tree) -> IndexArray:
    table = np.zeros((len(tree.bodies), MOVER + max(len(chain) for chain in tree.chains)), dtype=np.uintp)
    for i, body in enumerate(tree.bodies):
        chain = tree.chains[i]
        table[i, :MOVER] = tree.parent[i], body.freedom.value, tree.first[i], body.freedom.coordinates, len(chain)
        table[i, MOVER : MOVER + len(chain)] = chain
    return table


def _factors(vectors: Vectors, measure: Measure) -> list[Factors]:
    """The four base vectors of each of a measure's products."""
    return [(*vectors.ends(a), *vectors.ends(b)) for a, b in measure.pairs]


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
    for a, b, c, d in _factors(vectors, measure):
        for body in set().union(*(tree.chains[vectors.body[base]] for base in (a, b, c, d))):  # others move none
            found |= _turns(tree, vectors, ((a, b), (c, d)), body) | _slides(tree, vectors, ((a, b), (c, d)), body)
    return frozenset(found)


def _turns(tree: Tree, vectors: Vectors, factors: tuple[tuple[int, int], tuple[int, int]], body: int) -> set[int]:
    """A body's turning coordinates that change a product."""
    left, right = (vectors.turned_by(ends, body) for ends in factors)
    if not (left[1] or right[1] or left[0] != right[0]):
        return set()
    first = int(tree.first[body])
    turning = {Freedom.HINGE: {first}, Freedom.FREE: {first + 3, first + 4, first + 5}}
    return turning.get(tree.bodies[body].freedom, set())


def _slides(tree: Tree, vectors: Vectors, factors: tuple[tuple[int, int], tuple[int, int]], body: int) -> set[int]:
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
