"""First and second derivatives of measures along given motions: compiled, one state at a time.

Found forwards, without gradients: every body has a turning rate and a velocity for each motion and, for a pair of
motions, a matrix whose product with what the body carries is the second derivative.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.functions import set_bend, set_slope
from jounce.linkage.kinds import COORDINATE_SUM, MOST_PAIRS
from jounce.linkage.motion import FIXED, FREE, HINGE
from jounce.linkage.program import BODY, COUNT, FACTORS, FIRST, FREEDOM, IS_POINT, KIND, PARENT, Program
from jounce.linkage.rows import set_products, sum_of_coordinates
from jounce.linkage.state import ORIGIN, TURNED_AXIS, State
from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled, compiled_inline, compiled_inner

TURNING, SPEED = 0, 3
"""Columns of `Flow.bodies`: a body's turning rate and its origin's velocity."""


class Flow(NamedTuple):
    """One motion of one state: ``velocity`` (coordinates,), ``bodies`` (bodies, 6), ``carried`` (base vectors, 3).

    ``product`` (4,) has room for the rates of one measure's products.
    """

    velocity: Array
    bodies: Array
    carried: Array
    product: Array


class Bent(NamedTuple):
    """Second derivatives along a pair of motions.

    ``acceleration`` (coordinates,); ``bodies`` (bodies, 12): a matrix, row after row, that turns what a body carries
    into its second derivative, and the origin's; ``carried`` (base vectors, 3); ``bend`` (4, 4) has room for one
    measure.
    """

    acceleration: Array
    bodies: Array
    carried: Array
    bend: Array


@compiled
def new_flow(program: Program, state: State) -> Flow:
    """Room for one motion."""
    dtype = program.frame.dtype
    return Flow(
        np.zeros(len(state.coordinate), dtype),
        np.zeros((len(program.tree), 6), dtype),
        np.zeros((len(program.base), 3), dtype),
        np.zeros(MOST_PAIRS, dtype),
    )


@compiled
def new_bent(program: Program, state: State) -> Bent:
    """Room for the second derivatives of one pair of motions."""
    dtype = program.frame.dtype
    return Bent(
        np.zeros(len(state.coordinate), dtype),
        np.zeros((len(program.tree), 12), dtype),
        np.zeros((len(program.base), 3), dtype),
        np.zeros((MOST_PAIRS, MOST_PAIRS), dtype),
    )


@compiled_inner
def flow(program: Program, state: State, motion: Flow) -> None:
    """Rates of all bodies and base vectors for the motion's velocity."""
    rate = motion.bodies
    for body in range(1, len(program.tree)):
        _flow_body(program, state, motion, body)
    for number in range(len(program.base)):
        body = program.base[number, BODY]
        x, y, z = _arm(program, state, number, body)
        u, v, w = rate[body, TURNING], rate[body, TURNING + 1], rate[body, TURNING + 2]
        motion.carried[number, 0] = v * z - w * y
        motion.carried[number, 1] = w * x - u * z
        motion.carried[number, 2] = u * y - v * x
        if program.base[number, IS_POINT]:
            for i in range(3):
                motion.carried[number, i] += rate[body, SPEED + i]


@compiled_inline
def _arm(program: Program, state: State, number: int, body: int) -> tuple[float, float, float]:
    """A base vector as seen from a body's origin."""
    x, y, z = state.carried[number, 0], state.carried[number, 1], state.carried[number, 2]
    if program.base[number, IS_POINT]:
        x, y, z = x - state.stand[body, ORIGIN], y - state.stand[body, ORIGIN + 1], z - state.stand[body, ORIGIN + 2]
    return x, y, z


@compiled_inline
def _flow_body(program: Program, state: State, motion: Flow, body: int) -> None:
    """Rates of one body, those of its parent known."""
    rate, stand, velocity = motion.bodies, state.stand, motion.velocity
    kind, j, parent = program.tree[body, FREEDOM], program.tree[body, FIRST], program.tree[body, PARENT]
    if kind == FREE:
        for i in range(3):
            rate[body, SPEED + i] = velocity[j + i]
            rate[body, TURNING + i] = velocity[j + 3 + i]
        return
    x = stand[body, ORIGIN] - stand[parent, ORIGIN]
    y = stand[body, ORIGIN + 1] - stand[parent, ORIGIN + 1]
    z = stand[body, ORIGIN + 2] - stand[parent, ORIGIN + 2]
    u, v, w = rate[parent, TURNING], rate[parent, TURNING + 1], rate[parent, TURNING + 2]
    rate[body, SPEED] = rate[parent, SPEED] + v * z - w * y
    rate[body, SPEED + 1] = rate[parent, SPEED + 1] + w * x - u * z
    rate[body, SPEED + 2] = rate[parent, SPEED + 2] + u * y - v * x
    moved = TURNING if kind == HINGE else SPEED
    for i in range(3):
        rate[body, TURNING + i] = rate[parent, TURNING + i]
        if kind != FIXED:
            rate[body, moved + i] += stand[body, TURNED_AXIS + i] * velocity[j]


@compiled_inline
def set_product_rates(program: Program, state: State, row: int, motion: Flow) -> None:
    """Rates of a row's products."""
    rows, carried, rate = program.rows, state.carried, motion.carried
    for k in range(rows[row, COUNT]):
        at = FACTORS + 4 * k
        a, b, c, d = rows[row, at], rows[row, at + 1], rows[row, at + 2], rows[row, at + 3]
        motion.product[k] = (
            (rate[a, 0] - rate[b, 0]) * (carried[c, 0] - carried[d, 0])
            + (rate[a, 1] - rate[b, 1]) * (carried[c, 1] - carried[d, 1])
            + (rate[a, 2] - rate[b, 2]) * (carried[c, 2] - carried[d, 2])
            + (carried[a, 0] - carried[b, 0]) * (rate[c, 0] - rate[d, 0])
            + (carried[a, 1] - carried[b, 1]) * (rate[c, 1] - rate[d, 1])
            + (carried[a, 2] - carried[b, 2]) * (rate[c, 2] - rate[d, 2])
        )


@compiled_inner
def set_rates(program: Program, variant: int, state: State, motion: Flow, result: tuple[Array, int, int]) -> None:
    """Rates of all measures for a motion that flows, written to ``array[index, number]``."""
    rate, index, number = result
    for row in range(len(program.rows)):
        kind = program.rows[row, KIND]
        if kind == COORDINATE_SUM:
            rate[index, number, row] = sum_of_coordinates(program, variant, row, motion.velocity)
            continue
        set_products(program, row, state)
        set_slope(kind, state.product, program.constants, variant, row, state.slope)
        set_product_rates(program, state, row, motion)
        total = state.slope[0] * motion.product[0]
        for k in range(1, program.rows[row, COUNT]):
            total += state.slope[k] * motion.product[k]
        rate[index, number, row] = total


@compiled_inner
def bend(program: Program, state: State, one: Flow, two: Flow, bent: Bent) -> None:
    """Second derivatives of all bodies and base vectors along two motions that flow and their mixed acceleration."""
    matrix = bent.bodies
    for body in range(1, len(program.tree)):
        if program.tree[body, FREEDOM] == FREE:
            _bend_free(program, (one.bodies, two.bodies), bent, body)
        else:
            _bend_hung(program, state, (one, two), bent, body)
    for number in range(len(program.base)):
        body = program.base[number, BODY]
        x, y, z = _arm(program, state, number, body)
        for i in range(3):
            value = matrix[body, 3 * i] * x + matrix[body, 3 * i + 1] * y + matrix[body, 3 * i + 2] * z
            if program.base[number, IS_POINT]:
                value += matrix[body, ORIGIN + i]
            bent.carried[number, i] = value


@compiled_inline
def _bend_free(program: Program, rates: tuple[Array, Array], bent: Bent, body: int) -> None:
    """Second derivative of a free body: ``([w1][w2] + [w2][w1]) / 2 + [acceleration]``."""
    one, two = rates
    j = program.tree[body, FIRST]
    acceleration = bent.acceleration
    for i in range(9):
        bent.bodies[body, i] = 0.0
    for i in range(3):
        bent.bodies[body, ORIGIN + i] = acceleration[j + i]
    a = (one[body, TURNING], one[body, TURNING + 1], one[body, TURNING + 2])
    b = (two[body, TURNING], two[body, TURNING + 1], two[body, TURNING + 2])
    _add_turns(bent.bodies, body, a, b, 0.5)
    _add_turns(bent.bodies, body, b, a, 0.5)
    _add_turn(bent.bodies, body, (acceleration[j + 3], acceleration[j + 4], acceleration[j + 5]), 1.0)


@compiled_inline
def _bend_hung(program: Program, state: State, pair: tuple[Flow, Flow], bent: Bent, body: int) -> None:
    """Second derivative of a body that hangs on its parent.

    A hinge adds ``([w1] q2 + [w2] q1) [u] + q1 q2 [u][u] + q12 [u]`` to the matrix, a slide
    ``(w1 q2 + w2 q1) x u + q12 u`` to the origin; w are the parent's turning rates, u is the axis.
    """
    matrix, stand, one, two = bent.bodies, state.stand, pair[0].bodies, pair[1].bodies
    kind, j, parent = program.tree[body, FREEDOM], program.tree[body, FIRST], program.tree[body, PARENT]
    for i in range(9):
        matrix[body, i] = matrix[parent, i]
    for i in range(3):
        matrix[body, ORIGIN + i] = matrix[parent, ORIGIN + i]
        for k in range(3):
            arm = stand[body, ORIGIN + k] - stand[parent, ORIGIN + k]
            matrix[body, ORIGIN + i] += matrix[parent, 3 * i + k] * arm
    if kind == FIXED:
        return
    q1, q2, q12 = pair[0].velocity[j], pair[1].velocity[j], bent.acceleration[j]
    x, y, z = stand[body, TURNED_AXIS], stand[body, TURNED_AXIS + 1], stand[body, TURNED_AXIS + 2]
    u = one[parent, TURNING] * q2 + two[parent, TURNING] * q1
    v = one[parent, TURNING + 1] * q2 + two[parent, TURNING + 1] * q1
    w = one[parent, TURNING + 2] * q2 + two[parent, TURNING + 2] * q1
    if kind == HINGE:
        outer = (u + q1 * q2 * x, v + q1 * q2 * y, w + q1 * q2 * z)
        _add_turns(matrix, body, outer, (x, y, z), 1.0)
        _add_turn(matrix, body, (x, y, z), q12)
    else:
        matrix[body, ORIGIN] += v * z - w * y + x * q12
        matrix[body, ORIGIN + 1] += w * x - u * z + y * q12
        matrix[body, ORIGIN + 2] += u * y - v * x + z * q12


Triple = tuple[float, float, float]


@compiled_inline
def _add_turn(matrix: Array, body: int, vector: Triple, factor: float) -> None:
    """Add ``factor [vector]``, the matrix of a cross product."""
    x, y, z = vector
    matrix[body, 1] -= factor * z
    matrix[body, 2] += factor * y
    matrix[body, 3] += factor * z
    matrix[body, 5] -= factor * x
    matrix[body, 6] -= factor * y
    matrix[body, 7] += factor * x


@compiled_inline
def _add_turns(matrix: Array, body: int, outer: Triple, inner: Triple, factor: float) -> None:
    """Add ``factor [outer][inner]``, which is ``factor (inner outerᵀ - (outer . inner) I)``."""
    product = outer[0] * inner[0] + outer[1] * inner[1] + outer[2] * inner[2]
    for i in range(3):
        matrix[body, 4 * i] -= factor * product
        for k in range(3):
            matrix[body, 3 * i + k] += factor * inner[i] * outer[k]


@compiled_inner
def set_bends(
    program: Program, variant: int, state: State, motions: tuple[Flow, Flow, Bent], result: tuple[Array, int]
) -> None:
    """Second derivatives of all measures along a pair of motions, written to ``array[index]``.

    Args:
        program: bodies and measures
        variant: which constants
        state: where the bodies are
        motions: the two motions, and how they bend everything
        result: the array, shape (states, measures), and the index in it

    """
    one, two, bent = motions
    second, index = result
    for row in range(len(program.rows)):
        kind = program.rows[row, KIND]
        if kind == COORDINATE_SUM:
            second[index, row] = sum_of_coordinates(program, variant, row, bent.acceleration)
            continue
        set_products(program, row, state)
        set_slope(kind, state.product, program.constants, variant, row, state.slope)
        total = 0.0 * state.slope[0]
        for k in range(program.rows[row, COUNT]):
            total += state.slope[k] * _product_bend(program, state, (row, k), motions)
        if set_bend(kind, state.product, program.constants, variant, row, bent.bend):
            set_product_rates(program, state, row, one)
            set_product_rates(program, state, row, two)
            for k in range(program.rows[row, COUNT]):
                for n in range(program.rows[row, COUNT]):
                    total += bent.bend[k, n] * one.product[k] * two.product[n]
        second[index, row] = total


@compiled_inline
def _product_bend(program: Program, state: State, which: tuple[int, int], motions: tuple[Flow, Flow, Bent]) -> float:
    """Second derivative of one product of a row."""
    row, k = which
    rows, at = program.rows, FACTORS + 4 * k
    a, b, c, d = rows[row, at], rows[row, at + 1], rows[row, at + 2], rows[row, at + 3]
    here, one, two, both = state.carried, motions[0].carried, motions[1].carried, motions[2].carried
    total = 0.0 * here[a, 0]
    for i in range(3):
        total += (both[a, i] - both[b, i]) * (here[c, i] - here[d, i])
        total += (here[a, i] - here[b, i]) * (both[c, i] - both[d, i])
        total += (one[a, i] - one[b, i]) * (two[c, i] - two[d, i])
        total += (two[a, i] - two[b, i]) * (one[c, i] - one[d, i])
    return total  # type: ignore[no-any-return]
