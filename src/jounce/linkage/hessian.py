"""Second derivatives of a weighted sum of measures by all coordinates: compiled, for states that are alone."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.functions import bearing_curvature, distance_curvature, tyre_point_curvature
from jounce.linkage.kinds import BEARING, COORDINATE_SUM, DISTANCE, MOST_PAIRS, TYRE_POINT
from jounce.linkage.motion import FREE, HINGE, SLIDE
from jounce.linkage.rows import cosines, cosines_at, product_of
from jounce.linkage.states import States, axis_of, between, origin_of
from jounce.linkage.tables import (
    BODY,
    ENTRIES_END,
    ENTRY,
    FIRST,
    FREEDOM,
    IS_POINT,
    KIND,
    MOVER,
    MOVERS,
    SIZE,
    Tables,
)
from jounce.linkage.triples import Place, Triple, cross, dot, minus, plus, three, times
from jounce.numerics.arrays import Array, IndexArray
from jounce.numerics.compiled import compiled_inline, compiled_inner, compiled_making

_ALONE = np.uintp(1)  # how far apart the numbers of a vector are


class Changes(NamedTuple):
    """How things change with coordinates, and room to work in.

    ``vector`` (base vectors, coordinates, 3) is how each base vector moves with each coordinate, filled where it does;
    ``pull`` (base vectors, 3) what the measures pull on each; ``curvature`` (4, 4), ``product`` (4, coordinates) are for
    one measure; ``column`` lists the coordinates that it moves with and ``used`` marks them.
    """

    vector: Array
    pull: Array
    curvature: Array
    product: Array
    column: IndexArray
    used: IndexArray


Target = tuple[Array, Place]
"""Matrices (states, coordinates, coordinates), and the index of one of them."""


@compiled_making
def new_changes(tables: Tables, states: States) -> Changes:
    """Room for one state."""
    size, dtype = len(states.coordinate), tables.frame.dtype
    return Changes(
        np.zeros((len(tables.base), size, 3), dtype),
        np.zeros((len(tables.base), 3), dtype),
        np.zeros((MOST_PAIRS, MOST_PAIRS), dtype),
        np.zeros((MOST_PAIRS, size), dtype),
        np.zeros(size, np.uintp),
        np.zeros(size, np.uintp),
    )


@compiled_inner
def add_hessian(
    tables: Tables, variant: Place, states: States, changes: Changes, weighted: tuple[Array, Array, Place]
) -> None:
    """Add second derivatives of ``sum(weight * value)``; products and slopes are set.

    Args:
        tables: bodies and measures
        variant: which constants
        states: where the bodies are
        changes: room to work in
        weighted: factors (states, measures); what is added to (states, coordinates, coordinates); the state's index

    """
    weight, matrix, index = weighted
    for base in range(np.uintp(1), np.uintp(len(tables.base))):
        _set_change(tables, states, base, changes)
    for row in range(np.uintp(len(tables.rows))):
        factor = weight[index, row]
        if tables.rows[row, KIND] == COORDINATE_SUM or factor == 0.0:
            continue
        columns = _list_columns(tables, row, changes)
        if _set_curvature(tables, variant, states, row, changes.curvature):
            _add_curvature(tables, states, changes, (row, columns), (factor, (matrix, index)))
        _add_mixed(tables, states, changes, (row, columns), (factor, (matrix, index)))
        _add_pull(tables, states, changes, row, factor)
    for base in range(np.uintp(1), np.uintp(len(tables.base))):
        _add_turning(tables, states, changes, base, (matrix, index))


@compiled_inline
def _set_change(tables: Tables, states: States, base: Place, changes: Changes) -> None:
    """How a base vector moves with each coordinate that moves it."""
    change, body = changes.vector, tables.base[base, BODY]
    point = 1.0 if tables.base[base, IS_POINT] else 0.0
    for i in range(3):
        changes.pull[base, i] = 0.0
    for n in range(tables.tree[body, MOVERS]):
        mover = tables.tree[body, np.uintp(MOVER) + n]
        kind, j = tables.tree[mover, FREEDOM], tables.tree[mover, FIRST]
        vector = three(states.carried, np.uintp(3) * base, _ALONE)
        arm = minus(vector, times(point, origin_of(states, mover, np.uintp(0))))
        axis = axis_of(states, mover, np.uintp(0))
        if kind == HINGE:
            _put(change, base, j, cross(axis, arm))
        elif kind == SLIDE:
            _put(change, base, j, times(point, axis))
        elif kind == FREE:
            x, y, z = arm
            none = 0.0 * x
            for i in range(np.uintp(3)):
                for k in range(np.uintp(3)):
                    change[base, j + i, k] = point if i == k else 0.0
            _put(change, base, j + np.uintp(3), (none, -z, y))
            _put(change, base, j + np.uintp(4), (z, none, -x))
            _put(change, base, j + np.uintp(5), (-y, x, none))


@compiled_inline
def _put(change: Array, base: Place, j: Place, value: Triple) -> None:
    change[base, j, 0], change[base, j, 1], change[base, j, 2] = value


@compiled_inline
def _list_columns(tables: Tables, row: Place, changes: Changes) -> Place:
    """List the coordinates that a measure's base vectors move with; how many there are."""
    tree = tables.tree
    for j in range(len(changes.used)):
        changes.used[j] = 0
    count = np.uintp(0)
    for entry in range(tables.rows[row, ENTRY], tables.rows[row, ENTRIES_END]):
        for end in range(4):
            body = tables.base[tables.product[tables.entry[entry], end], BODY]
            for n in range(tree[body, MOVERS]):
                mover = tree[body, np.uintp(MOVER) + n]
                for j in range(tree[mover, FIRST], tree[mover, FIRST] + tree[mover, SIZE]):
                    if not changes.used[j]:
                        changes.used[j] = 1
                        changes.column[count] = j
                        count += np.uintp(1)
    return count


@compiled_inline
def _moves(tables: Tables, base: Place, j: Place) -> bool:
    """Whether a coordinate moves a base vector."""
    tree, body = tables.tree, tables.base[base, BODY]
    for n in range(tree[body, MOVERS]):
        mover = tree[body, np.uintp(MOVER) + n]
        if tree[mover, FIRST] <= j < tree[mover, FIRST] + tree[mover, SIZE]:
            return True
    return False


@compiled_inline
def _set_curvature(tables: Tables, variant: Place, states: States, row: Place, curvature: Array) -> bool:
    """Second derivatives of a measure by its products; False says that all are zero and ``curvature`` was left alone."""
    kind, product = tables.rows[row, KIND], states.product
    p, q = product_of(tables, row, np.uintp(0), _ALONE), product_of(tables, row, np.uintp(1), _ALONE)
    if kind == DISTANCE:
        curvature[0, 0] = distance_curvature(product[p])
        return True
    if kind == BEARING:
        curvature[0, 0], curvature[0, 1], curvature[1, 1] = bearing_curvature(product[p], product[q])
        curvature[1, 0] = curvature[0, 1]
        return True
    if kind == TYRE_POINT:
        for i in range(4):
            for k in range(4):
                curvature[i, k] = 0.0
        own = cosines(product, cosines_at(tables, row, _ALONE), np.uintp(0))
        curvature[1, 1], curvature[1, 2], curvature[1, 3] = tyre_point_curvature(own, tables.constants[variant, row, 0])
        curvature[2, 1], curvature[3, 1] = curvature[1, 2], curvature[1, 3]
        return True
    return False


@compiled_inline
def _add_curvature(
    tables: Tables, states: States, changes: Changes, which: tuple[Place, Place], task: tuple[float, Target]
) -> None:
    """Add what the function's own curvature does: ``curvature[k, n] dp_k/dq_i dp_n/dq_j``."""
    row, columns = which
    factor, (matrix, index) = task
    first = tables.rows[row, ENTRY]
    count = tables.rows[row, ENTRIES_END] - first
    for k in range(count):
        for i in range(columns):
            changes.product[k, i] = _product_change(tables, states, changes, first + k, changes.column[i])
    for k in range(count):
        for n in range(count):
            for i in range(columns):
                for j in range(columns):
                    matrix[index, changes.column[i], changes.column[j]] += (
                        factor * changes.curvature[k, n] * changes.product[k, i] * changes.product[n, j]
                    )


@compiled_inline
def _product_change(tables: Tables, states: States, changes: Changes, entry: Place, j: Place) -> float:
    """Change of one of a row's products with a coordinate."""
    number = tables.entry[entry]
    one = dot(_vector_change(tables, changes, (number, 0), j), _vector(tables, states, (number, 2)))
    return one + dot(_vector(tables, states, (number, 0)), _vector_change(tables, changes, (number, 2), j))


@compiled_inline
def _vector(tables: Tables, states: States, which: tuple[Place, int]) -> Triple:
    """The first (0) or the second (2) of a product's two vectors."""
    number, side = which
    ends = (tables.product[number, side], tables.product[number, side + 1])
    return between(states.carried, ends, np.uintp(0), _ALONE)


@compiled_inline
def _vector_change(tables: Tables, changes: Changes, which: tuple[Place, int], j: Place) -> Triple:
    """How the first (0) or the second (2) of a product's two vectors changes with a coordinate."""
    number, side = which
    none = 0.0 * changes.vector[0, 0, 0]
    total = (none, none, none)
    for end in range(2):
        base = tables.product[number, side + end]
        if _moves(tables, base, j):
            change = (changes.vector[base, j, 0], changes.vector[base, j, 1], changes.vector[base, j, 2])
            total = plus(total, times(1.0 - 2.0 * end, change))
    return total


@compiled_inline
def _add_mixed(
    tables: Tables, states: States, changes: Changes, which: tuple[Place, Place], task: tuple[float, Target]
) -> None:
    """Add what two vectors that change together do to their product."""
    row, columns = which
    factor, (matrix, index) = task
    for entry in range(tables.rows[row, ENTRY], tables.rows[row, ENTRIES_END]):
        share, number = factor * states.slope[entry], tables.entry[entry]
        for i in range(columns):
            one = _vector_change(tables, changes, (number, 0), changes.column[i])
            for j in range(columns):
                part = share * dot(one, _vector_change(tables, changes, (number, 2), changes.column[j]))
                matrix[index, changes.column[i], changes.column[j]] += part
                matrix[index, changes.column[j], changes.column[i]] += part


@compiled_inline
def _add_pull(tables: Tables, states: States, changes: Changes, row: Place, factor: float) -> None:
    """Add what a measure pulls on its base vectors."""
    for entry in range(tables.rows[row, ENTRY], tables.rows[row, ENTRIES_END]):
        for end in range(4):
            other = _vector(tables, states, (tables.entry[entry], 2 if end < 2 else 0))
            pull = times(factor * states.slope[entry] * (1.0 - 2.0 * (end % 2)), other)
            for i in range(3):
                changes.pull[tables.product[tables.entry[entry], end], i] += pull[i]


@compiled_inline
def _add_turning(tables: Tables, states: States, changes: Changes, base: Place, target: Target) -> None:
    """Add the second derivatives of one base vector, weighted by the pull on it.

    An inner coordinate i turns whatever a later one j does: ``d2x/dqi dqj = turn_i x dx/dqj``; the three components of
    one rotation vector share the symmetric part.
    """
    tree, body = tables.tree, tables.base[base, BODY]
    for n in range(tree[body, MOVERS]):
        inner = tree[body, np.uintp(MOVER) + n]
        if tree[inner, FREEDOM] == SLIDE:
            continue
        for i in range(tree[inner, FIRST], tree[inner, FIRST] + tree[inner, SIZE]):
            force = _turned_pull(tables, states, changes, (base, inner), i - tree[inner, FIRST])
            for m in range(n, tree[body, MOVERS]):
                later = tree[body, np.uintp(MOVER) + m]
                _add_pair(tables, changes, (base, i, inner == later, later), force, target)


@compiled_inline
def _turned_pull(tables: Tables, states: States, changes: Changes, which: tuple[Place, Place], number: Place) -> Triple:
    """``pull x turn`` for one of a body's coordinates; zero for one that only slides it."""
    base, body = which
    pull = (changes.pull[base, 0], changes.pull[base, 1], changes.pull[base, 2])
    turn = times(0.0, pull)
    if tables.tree[body, FREEDOM] == HINGE:
        turn = plus(turn, axis_of(states, body, np.uintp(0)))
    elif number >= 3:
        turn = plus(turn, (1.0 * (number == 3), 1.0 * (number == 4), 1.0 * (number == 5)))
    return cross(pull, turn)


@compiled_inline
def _add_pair(
    tables: Tables, changes: Changes, which: tuple[Place, Place, bool, Place], force: Triple, target: Target
) -> None:
    """Add ``force . change_j`` for all coordinates j of a later (or the same) body."""
    base, i, same, later = which
    matrix, index = target
    tree, change = tables.tree, changes.vector
    for j in range(tree[later, FIRST], tree[later, FIRST] + tree[later, SIZE]):
        if same and tree[later, FREEDOM] == FREE and j < tree[later, FIRST] + np.uintp(3):
            continue
        share = 0.5 if same else 1.0
        part = share * dot(force, (change[base, j, 0], change[base, j, 1], change[base, j, 2]))
        matrix[index, i, j] += part
        matrix[index, j, i] += part
