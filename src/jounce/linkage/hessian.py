"""Second derivatives of a weighted sum of measures by all coordinates: compiled, one state at a time."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.functions import set_bend, set_slope
from jounce.linkage.kinds import COORDINATE_SUM, MOST_PAIRS
from jounce.linkage.motion import FREE, HINGE, SLIDE
from jounce.linkage.program import BODY, COUNT, FACTORS, FIRST, FREEDOM, IS_POINT, KIND, MOVER, MOVERS, SIZE, Program
from jounce.linkage.rows import set_products
from jounce.linkage.state import ORIGIN, TURNED_AXIS, State
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled, compiled_inline, compiled_inner


class Sheet(NamedTuple):
    """Room to work in.

    ``change`` (base vectors, coordinates, 3) is how each base vector moves with each coordinate, filled where it does;
    ``pull`` (base vectors, 3) what the measures pull on each; ``bend`` (4, 4), ``product`` (4, coordinates) are for one
    measure; ``column`` lists the coordinates that it moves with and ``used`` marks them.
    """

    change: Array
    pull: Array
    bend: Array
    product: Array
    column: IntArray
    used: IntArray


@compiled
def new_sheet(program: Program, state: State) -> Sheet:
    """Room for one state."""
    size, dtype = len(state.coordinate), program.frame.dtype
    return Sheet(
        np.zeros((len(program.base), size, 3), dtype),
        np.zeros((len(program.base), 3), dtype),
        np.zeros((MOST_PAIRS, MOST_PAIRS), dtype),
        np.zeros((MOST_PAIRS, size), dtype),
        np.zeros(size, np.intp),
        np.zeros(size, np.intp),
    )


@compiled_inner
def add_hessian(program: Program, variant: int, state: State, sheet: Sheet, task: tuple[Array, Array, int]) -> None:
    """Add second derivatives of ``sum(weight * value)``.

    Args:
        program: bodies and measures
        variant: which constants
        state: where the bodies are
        sheet: room to work in
        task: factors (states, measures); what is added to (states, coordinates, coordinates); the state's index

    """
    weight, matrix, index = task
    for base in range(1, len(program.base)):
        _set_change(program, state, base, sheet)
    for row in range(len(program.rows)):
        kind, factor = program.rows[row, KIND], weight[index, row]
        if kind == COORDINATE_SUM or factor == 0.0:
            continue
        set_products(program, row, state)
        set_slope(kind, state.product, program.constants, variant, row, state.slope)
        columns = _list_columns(program, row, sheet)
        if set_bend(kind, state.product, program.constants, variant, row, sheet.bend):
            _add_bend(program, state, sheet, (row, columns), (factor, matrix, index))
        _add_mixed(program, state, sheet, (row, columns), (factor, matrix, index))
        _add_pull(program, state, sheet, row, factor)
    for base in range(1, len(program.base)):
        _add_turning(program, state, sheet, base, (matrix, index))


@compiled_inline
def _set_change(program: Program, state: State, base: int, sheet: Sheet) -> None:
    """How a base vector moves with each coordinate that moves it."""
    change, is_point, body = sheet.change, program.base[base, IS_POINT], program.base[base, BODY]
    for i in range(3):
        sheet.pull[base, i] = 0.0
    for n in range(program.tree[body, MOVERS]):
        mover = program.tree[body, MOVER + n]
        kind, j = program.tree[mover, FREEDOM], program.tree[mover, FIRST]
        stand, carried = state.stand, state.carried
        x, y, z = carried[base, 0], carried[base, 1], carried[base, 2]
        if is_point:
            x, y, z = x - stand[mover, ORIGIN], y - stand[mover, ORIGIN + 1], z - stand[mover, ORIGIN + 2]
        u, v, w = stand[mover, TURNED_AXIS], stand[mover, TURNED_AXIS + 1], stand[mover, TURNED_AXIS + 2]
        if kind == HINGE:
            _put(change, base, j, (v * z - w * y, w * x - u * z, u * y - v * x))
        elif kind == SLIDE:
            shift = 1.0 if is_point else 0.0
            _put(change, base, j, (shift * u, shift * v, shift * w))
        elif kind == FREE:
            shift = 1.0 if is_point else 0.0
            for i in range(3):
                for k in range(3):
                    change[base, j + i, k] = shift if i == k else 0.0
            _put(change, base, j + 3, (0.0 * x, -z, y))
            _put(change, base, j + 4, (z, 0.0 * x, -x))
            _put(change, base, j + 5, (-y, x, 0.0 * x))


@compiled_inline
def _put(change: Array, base: int, j: int, value: tuple[float, float, float]) -> None:
    change[base, j, 0], change[base, j, 1], change[base, j, 2] = value


@compiled_inline
def _list_columns(program: Program, row: int, sheet: Sheet) -> int:
    """List the coordinates that a measure's base vectors move with; how many there are."""
    tree = program.tree
    for j in range(len(sheet.used)):
        sheet.used[j] = 0
    count = 0
    for number in range(4 * program.rows[row, COUNT]):
        body = program.base[program.rows[row, FACTORS + number], BODY]
        for n in range(tree[body, MOVERS]):
            mover = tree[body, MOVER + n]
            for j in range(tree[mover, FIRST], tree[mover, FIRST] + tree[mover, SIZE]):
                if not sheet.used[j]:
                    sheet.used[j] = 1
                    sheet.column[count] = j
                    count += 1
    return count


@compiled_inline
def _moves(program: Program, base: int, j: int) -> bool:
    """Whether a coordinate moves a base vector."""
    tree, body = program.tree, program.base[base, BODY]
    for n in range(tree[body, MOVERS]):
        first = tree[tree[body, MOVER + n], FIRST]
        if first <= j < first + tree[tree[body, MOVER + n], SIZE]:
            return True
    return False


@compiled_inline
def _add_bend(
    program: Program, state: State, sheet: Sheet, which: tuple[int, int], task: tuple[float, Array, int]
) -> None:
    """Add what the function's own curvature does: ``bend[k, n] dp_k/dq_i dp_n/dq_j``."""
    row, columns = which
    factor, matrix, index = task
    count = program.rows[row, COUNT]
    for k in range(count):
        for i in range(columns):
            sheet.product[k, i] = _product_change(program, state, sheet, (row, k), sheet.column[i])
    for k in range(count):
        for n in range(count):
            for i in range(columns):
                for j in range(columns):
                    matrix[index, sheet.column[i], sheet.column[j]] += (
                        factor * sheet.bend[k, n] * sheet.product[k, i] * sheet.product[n, j]
                    )


@compiled_inline
def _product_change(program: Program, state: State, sheet: Sheet, which: tuple[int, int], j: int) -> float:
    """Change of one of a row's products with a coordinate."""
    row, k = which
    rows, at, carried = program.rows, FACTORS + 4 * k, state.carried
    total = 0.0 * carried[0, 0]
    for end in range(4):
        base = rows[row, at + end]
        if not _moves(program, base, j):
            continue
        other = at + 2 if end < 2 else at
        sign = 1.0 if end % 2 == 0 else -1.0
        for i in range(3):
            vector = carried[rows[row, other], i] - carried[rows[row, other + 1], i]
            total += sign * sheet.change[base, j, i] * vector
    return total  # type: ignore[no-any-return]


@compiled_inline
def _add_mixed(
    program: Program, state: State, sheet: Sheet, which: tuple[int, int], task: tuple[float, Array, int]
) -> None:
    """Add what two vectors that change together do to their product."""
    row, columns = which
    factor, matrix, index = task
    for k in range(program.rows[row, COUNT]):
        share = factor * state.slope[k]
        for i in range(columns):
            one = _vector_change(program, sheet, (row, FACTORS + 4 * k), sheet.column[i])
            for j in range(columns):
                two = _vector_change(program, sheet, (row, FACTORS + 4 * k + 2), sheet.column[j])
                part = share * (one[0] * two[0] + one[1] * two[1] + one[2] * two[2])
                matrix[index, sheet.column[i], sheet.column[j]] += part
                matrix[index, sheet.column[j], sheet.column[i]] += part


@compiled_inline
def _vector_change(program: Program, sheet: Sheet, which: tuple[int, int], j: int) -> tuple[float, float, float]:
    """Change of one of a row's vectors with a coordinate."""
    row, at = which
    x = 0.0 * sheet.change[0, 0, 0]
    y, z = x, x
    for end in range(2):
        base = program.rows[row, at + end]
        if _moves(program, base, j):
            sign = 1.0 - 2.0 * end
            x += sign * sheet.change[base, j, 0]
            y += sign * sheet.change[base, j, 1]
            z += sign * sheet.change[base, j, 2]
    return x, y, z


@compiled_inline
def _add_pull(program: Program, state: State, sheet: Sheet, row: int, factor: float) -> None:
    """Add what a measure pulls on its base vectors."""
    rows, carried = program.rows, state.carried
    for number in range(4 * rows[row, COUNT]):
        at = FACTORS + number - number % 4
        other = at + 2 if number % 4 < 2 else at
        share = factor * state.slope[number // 4] * (1.0 - 2.0 * (number % 2))
        for i in range(3):
            vector = carried[rows[row, other], i] - carried[rows[row, other + 1], i]
            sheet.pull[rows[row, FACTORS + number], i] += share * vector


@compiled_inline
def _add_turning(program: Program, state: State, sheet: Sheet, base: int, task: tuple[Array, int]) -> None:
    """Add the second derivatives of one base vector, weighted by the pull on it.

    An inner coordinate i turns whatever a later one j does: ``d2x/dqi dqj = turn_i x dx/dqj``; the three components of
    one rotation vector share the symmetric part.
    """
    tree, body = program.tree, program.base[base, BODY]
    for n in range(tree[body, MOVERS]):
        inner = tree[body, MOVER + n]
        if tree[inner, FREEDOM] == SLIDE:
            continue
        for i in range(tree[inner, FIRST], tree[inner, FIRST] + tree[inner, SIZE]):
            force = _turned_pull(program, state, sheet, (base, inner), i - tree[inner, FIRST])
            for m in range(n, tree[body, MOVERS]):
                later = tree[body, MOVER + m]
                _add_pair(program, sheet, (base, i, inner == later, later), force, task)


@compiled_inline
def _turned_pull(
    program: Program, state: State, sheet: Sheet, which: tuple[int, int], number: int
) -> tuple[float, float, float]:
    """``pull x turn`` for one of a body's coordinates; zero for one that only slides it."""
    base, body = which
    x, y, z = sheet.pull[base, 0], sheet.pull[base, 1], sheet.pull[base, 2]
    u = 0.0 * x
    v, w = u, u
    if program.tree[body, FREEDOM] == HINGE:
        u, v, w = (
            u + state.stand[body, TURNED_AXIS],
            state.stand[body, TURNED_AXIS + 1],
            state.stand[body, TURNED_AXIS + 2],
        )
    elif number >= 3:
        u, v, w = u + (number == 3), v + (number == 4), w + (number == 5)
    return y * w - z * v, z * u - x * w, x * v - y * u


@compiled_inline
def _add_pair(
    program: Program,
    sheet: Sheet,
    which: tuple[int, int, bool, int],
    force: tuple[float, float, float],
    task: tuple[Array, int],
) -> None:
    """Add ``force . change_j`` for all coordinates j of a later (or the same) body."""
    base, i, same, later = which
    matrix, index = task
    tree, change = program.tree, sheet.change
    for j in range(tree[later, FIRST], tree[later, FIRST] + tree[later, SIZE]):
        if same and tree[later, FREEDOM] == FREE and j < tree[later, FIRST] + 3:
            continue
        share = 0.5 if same else 1.0
        part = share * (force[0] * change[base, j, 0] + force[1] * change[base, j, 1] + force[2] * change[base, j, 2])
        matrix[index, i, j] += part
        matrix[index, j, i] += part
