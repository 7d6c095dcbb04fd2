"""Values and gradients of measures: compiled, one state at a time.

A gradient is found backwards: a measure's derivative by a vector is a force on it, and a force on a body's point does
work on every coordinate of the bodies that move it.
"""

from __future__ import annotations

from jounce.linkage.functions import set_slope, value_of
from jounce.linkage.kinds import COORDINATE_SUM
from jounce.linkage.program import COUNT, FACTORS, KIND, WORKS, WORKS_END, Program
from jounce.linkage.state import ORIGIN, TURNED_AXIS, State
from jounce.linkage.works import (
    COORDINATE,
    FORCE,
    LESS,
    MOVE_FREE,
    MOVE_ROUND,
    MOVING,
    ON,
    PRODUCT,
    SHIFT_FREE,
    SLIDE_ALONG,
    TIMES,
    TURN_ROUND,
    WAY,
)
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled_inline, compiled_inner


@compiled_inline
def set_products(program: Program, row: int, state: State) -> None:
    """Dot products of a row's vectors."""
    rows, carried = program.rows, state.carried
    for k in range(rows[row, COUNT]):
        at = FACTORS + 4 * k
        a, b, c, d = rows[row, at], rows[row, at + 1], rows[row, at + 2], rows[row, at + 3]
        state.product[k] = (
            (carried[a, 0] - carried[b, 0]) * (carried[c, 0] - carried[d, 0])
            + (carried[a, 1] - carried[b, 1]) * (carried[c, 1] - carried[d, 1])
            + (carried[a, 2] - carried[b, 2]) * (carried[c, 2] - carried[d, 2])
        )


@compiled_inline
def sum_of_coordinates(program: Program, variant: int, row: int, of: Array) -> float:
    """A coordinate sum of coordinates, or of their velocity or acceleration."""
    total = 0.0 * of[0]
    for k in range(program.rows[row, COUNT]):
        total += program.constants[variant, row, k] * of[program.rows[row, FACTORS + 4 * k]]
    return total  # type: ignore[no-any-return]


@compiled_inner
def set_values(program: Program, variant: int, state: State, value: Array) -> None:
    """Values of all measures, shape (measures,)."""
    for row in range(len(program.rows)):
        if program.rows[row, KIND] == COORDINATE_SUM:
            value[row] = sum_of_coordinates(program, variant, row, state.coordinate)
        else:
            set_products(program, row, state)
            value[row] = value_of(program.rows[row, KIND], state.product, program.constants, variant, row)


@compiled_inner
def add_gradients(
    program: Program, variant: int, state: State, order: tuple[IntArray, IntArray], target: Array
) -> None:
    """Add gradients of measures.

    Args:
        program: bodies and measures
        variant: which constants
        state: where the bodies are
        order: which measure goes to each row of the target, and to which column each coordinate
        target: what the gradients are added to, shape (measures, coordinates)

    """
    row_at, column = order
    for position in range(len(row_at)):
        row = row_at[position]
        if program.rows[row, KIND] == COORDINATE_SUM:
            for k in range(program.rows[row, COUNT]):
                target[position, column[program.rows[row, FACTORS + 4 * k]]] += program.constants[variant, row, k]
            continue
        set_products(program, row, state)
        set_slope(program.rows[row, KIND], state.product, program.constants, variant, row, state.slope)
        for number in range(program.rows[row, WORKS], program.rows[row, WORKS_END]):
            _work(program, state, number, column, (target, position))


@compiled_inline
def _work(program: Program, state: State, number: int, column: IntArray, target: tuple[Array, int]) -> None:
    """Add the work of one force on one base vector to the coordinates of one body that moves it."""
    works, carried, stand = program.works, state.carried, state.stand
    matrix, i = target
    a, b, way, j = works[number, FORCE], works[number, LESS], works[number, WAY], works[number, COORDINATE]
    factor = state.slope[works[number, PRODUCT]] * works[number, TIMES]
    x = factor * (carried[a, 0] - carried[b, 0])
    y = factor * (carried[a, 1] - carried[b, 1])
    z = factor * (carried[a, 2] - carried[b, 2])
    if way in (SHIFT_FREE, MOVE_FREE):
        matrix[i, column[j]] += x
        matrix[i, column[j + 1]] += y
        matrix[i, column[j + 2]] += z
        if way == SHIFT_FREE:
            return
    mover, base = works[number, MOVING], works[number, ON]
    p, q, r = stand[mover, TURNED_AXIS], stand[mover, TURNED_AXIS + 1], stand[mover, TURNED_AXIS + 2]
    if way == SLIDE_ALONG:
        matrix[i, column[j]] += p * x + q * y + r * z
        return
    u, v, w = carried[base, 0], carried[base, 1], carried[base, 2]
    if way in (MOVE_FREE, MOVE_ROUND):
        u, v, w = u - stand[mover, ORIGIN], v - stand[mover, ORIGIN + 1], w - stand[mover, ORIGIN + 2]
    if way in (MOVE_ROUND, TURN_ROUND):
        matrix[i, column[j]] += p * (v * z - w * y) + q * (w * x - u * z) + r * (u * y - v * x)
        return
    matrix[i, column[j + 3]] += v * z - w * y
    matrix[i, column[j + 4]] += w * x - u * z
    matrix[i, column[j + 5]] += u * y - v * x
