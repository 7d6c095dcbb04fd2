"""First and second derivatives of measures along given motions: compiled, one state at a time.

Found forwards, without gradients: every body has a turning rate and a velocity for each motion and, for a pair of
motions, a matrix whose product with what the body carries is the second derivative.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.functions import set_bend, set_slope, value_of
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
    """Some motions of one state.

    ``velocity`` (motions, coordinates), ``bodies`` (motions, bodies, 6), ``carried`` (motions, base vectors, 3);
    ``product`` (motions, 4) has room for the rates of one measure's products.
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
def new_flow(program: Program, state: State, motions: int) -> Flow:
    """Room for motions."""
    dtype = program.frame.dtype
    return Flow(
        np.zeros((motions, len(state.coordinate)), dtype),
        np.zeros((motions, len(program.tree), 6), dtype),
        np.zeros((motions, len(program.base), 3), dtype),
        np.zeros((motions, MOST_PAIRS), dtype),
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
def flow(program: Program, state: State, motions: Flow, which: int) -> None:
    """Rates of all bodies and base vectors for one motion's velocity."""
    rate = motions.bodies
    for body in range(1, len(program.tree)):
        _flow_body(program, state, motions, which, body)
    for number in range(len(program.base)):
        body = program.base[number, BODY]
        x, y, z = _arm(program, state, number, body)
        u, v, w = rate[which, body, TURNING], rate[which, body, TURNING + 1], rate[which, body, TURNING + 2]
        motions.carried[which, number, 0] = v * z - w * y
        motions.carried[which, number, 1] = w * x - u * z
        motions.carried[which, number, 2] = u * y - v * x
        if program.base[number, IS_POINT]:
            for i in range(3):
                motions.carried[which, number, i] += rate[which, body, SPEED + i]


@compiled_inline
def _arm(program: Program, state: State, number: int, body: int) -> tuple[float, float, float]:
    """A base vector as seen from a body's origin."""
    x, y, z = state.carried[number, 0], state.carried[number, 1], state.carried[number, 2]
    if program.base[number, IS_POINT]:
        x, y, z = x - state.stand[body, ORIGIN], y - state.stand[body, ORIGIN + 1], z - state.stand[body, ORIGIN + 2]
    return x, y, z


@compiled_inline
def _flow_body(program: Program, state: State, motions: Flow, which: int, body: int) -> None:
    """Rates of one body, those of its parent known."""
    rate, stand, velocity = motions.bodies, state.stand, motions.velocity
    kind, j, parent = program.tree[body, FREEDOM], program.tree[body, FIRST], program.tree[body, PARENT]
    if kind == FREE:
        for i in range(3):
            rate[which, body, SPEED + i] = velocity[which, j + i]
            rate[which, body, TURNING + i] = velocity[which, j + 3 + i]
        return
    x = stand[body, ORIGIN] - stand[parent, ORIGIN]
    y = stand[body, ORIGIN + 1] - stand[parent, ORIGIN + 1]
    z = stand[body, ORIGIN + 2] - stand[parent, ORIGIN + 2]
    u, v, w = rate[which, parent, TURNING], rate[which, parent, TURNING + 1], rate[which, parent, TURNING + 2]
    rate[which, body, SPEED] = rate[which, parent, SPEED] + v * z - w * y
    rate[which, body, SPEED + 1] = rate[which, parent, SPEED + 1] + w * x - u * z
    rate[which, body, SPEED + 2] = rate[which, parent, SPEED + 2] + u * y - v * x
    moved = TURNING if kind == HINGE else SPEED
    for i in range(3):
        rate[which, body, TURNING + i] = rate[which, parent, TURNING + i]
        if kind != FIXED:
            rate[which, body, moved + i] += stand[body, TURNED_AXIS + i] * velocity[which, j]


@compiled_inline
def set_product_rates(program: Program, state: State, row: int, motions: Flow) -> None:
    """Rates of a row's products in all motions."""
    rows, carried, rate = program.rows, state.carried, motions.carried
    for k in range(rows[row, COUNT]):
        at = FACTORS + 4 * k
        a, b, c, d = rows[row, at], rows[row, at + 1], rows[row, at + 2], rows[row, at + 3]
        x, y, z = carried[a, 0] - carried[b, 0], carried[a, 1] - carried[b, 1], carried[a, 2] - carried[b, 2]
        u, v, w = carried[c, 0] - carried[d, 0], carried[c, 1] - carried[d, 1], carried[c, 2] - carried[d, 2]
        for n in range(len(rate)):
            motions.product[n, k] = (
                (rate[n, a, 0] - rate[n, b, 0]) * u
                + (rate[n, a, 1] - rate[n, b, 1]) * v
                + (rate[n, a, 2] - rate[n, b, 2]) * w
                + x * (rate[n, c, 0] - rate[n, d, 0])
                + y * (rate[n, c, 1] - rate[n, d, 1])
                + z * (rate[n, c, 2] - rate[n, d, 2])
            )


@compiled_inner
def set_rates(program: Program, variant: int, state: State, motions: Flow, result: tuple[Array, Array, int]) -> None:
    """Values of all measures and their rates in motions that flow.

    Args:
        program: bodies and measures
        variant: which constants
        state: where the bodies are
        motions: what flows
        result: where values (states, measures) and rates (states, motions, measures) go, and the index of the state

    """
    value, rate, index = result
    for row in range(len(program.rows)):
        kind = program.rows[row, KIND]
        if kind == COORDINATE_SUM:
            value[index, row] = sum_of_coordinates(program, variant, row, state.coordinate)
            for n in range(len(motions.velocity)):
                rate[index, n, row] = _sum_of_rates(program, variant, row, motions.velocity, n)
            continue
        set_products(program, row, state)
        value[index, row] = value_of(kind, state.product, program.constants, variant, row)
        set_slope(kind, state.product, program.constants, variant, row, state.slope)
        set_product_rates(program, state, row, motions)
        for n in range(len(motions.velocity)):
            total = state.slope[0] * motions.product[n, 0]
            for k in range(1, program.rows[row, COUNT]):
                total += state.slope[k] * motions.product[n, k]
            rate[index, n, row] = total


@compiled_inline
def _sum_of_rates(program: Program, variant: int, row: int, velocity: Array, which: int) -> float:
    """A coordinate sum of one motion's velocities."""
    total = 0.0 * velocity[which, 0]
    for k in range(program.rows[row, COUNT]):
        total += program.constants[variant, row, k] * velocity[which, program.rows[row, FACTORS + 4 * k]]
    return total  # type: ignore[no-any-return]


@compiled_inner
def bend(program: Program, state: State, motions: Flow, bent: Bent) -> None:
    """Second derivatives of all bodies and base vectors along two motions that flow and their mixed acceleration."""
    matrix = bent.bodies
    for body in range(1, len(program.tree)):
        if program.tree[body, FREEDOM] == FREE:
            _bend_free(program, motions.bodies, bent, body)
        else:
            _bend_hung(program, state, motions, bent, body)
    for number in range(len(program.base)):
        body = program.base[number, BODY]
        x, y, z = _arm(program, state, number, body)
        for i in range(3):
            value = matrix[body, 3 * i] * x + matrix[body, 3 * i + 1] * y + matrix[body, 3 * i + 2] * z
            if program.base[number, IS_POINT]:
                value += matrix[body, ORIGIN + i]
            bent.carried[number, i] = value


@compiled_inline
def _bend_free(program: Program, rate: Array, bent: Bent, body: int) -> None:
    """Second derivative of a free body: ``([w1][w2] + [w2][w1]) / 2 + [acceleration]``."""
    j = program.tree[body, FIRST]
    acceleration = bent.acceleration
    for i in range(9):
        bent.bodies[body, i] = 0.0
    for i in range(3):
        bent.bodies[body, ORIGIN + i] = acceleration[j + i]
    a = (rate[0, body, TURNING], rate[0, body, TURNING + 1], rate[0, body, TURNING + 2])
    b = (rate[1, body, TURNING], rate[1, body, TURNING + 1], rate[1, body, TURNING + 2])
    _add_turns(bent.bodies, body, a, b, 0.5)
    _add_turns(bent.bodies, body, b, a, 0.5)
    _add_turn(bent.bodies, body, (acceleration[j + 3], acceleration[j + 4], acceleration[j + 5]), 1.0)


@compiled_inline
def _bend_hung(program: Program, state: State, motions: Flow, bent: Bent, body: int) -> None:
    """Second derivative of a body that hangs on its parent.

    A hinge adds ``([w1] q2 + [w2] q1) [u] + q1 q2 [u][u] + q12 [u]`` to the matrix, a slide
    ``(w1 q2 + w2 q1) x u + q12 u`` to the origin; w are the parent's turning rates, u is the axis.
    """
    matrix, stand, rate = bent.bodies, state.stand, motions.bodies
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
    q1, q2, q12 = motions.velocity[0, j], motions.velocity[1, j], bent.acceleration[j]
    x, y, z = stand[body, TURNED_AXIS], stand[body, TURNED_AXIS + 1], stand[body, TURNED_AXIS + 2]
    u = rate[0, parent, TURNING] * q2 + rate[1, parent, TURNING] * q1
    v = rate[0, parent, TURNING + 1] * q2 + rate[1, parent, TURNING + 1] * q1
    w = rate[0, parent, TURNING + 2] * q2 + rate[1, parent, TURNING + 2] * q1
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
    program: Program, variant: int, state: State, motions: tuple[Flow, Bent], result: tuple[Array, int]
) -> None:
    """Second derivatives of all measures along a pair of motions, written to ``array[index]``.

    Args:
        program: bodies and measures
        variant: which constants
        state: where the bodies are
        motions: the two motions, which flow, and how they bend everything
        result: the array, shape (states, measures), and the index in it

    """
    pair, bent = motions
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
            set_product_rates(program, state, row, pair)
            for k in range(program.rows[row, COUNT]):
                for n in range(program.rows[row, COUNT]):
                    total += bent.bend[k, n] * pair.product[0, k] * pair.product[1, n]
        second[index, row] = total


@compiled_inline
def _product_bend(program: Program, state: State, which: tuple[int, int], motions: tuple[Flow, Bent]) -> float:
    """Second derivative of one product of a row."""
    row, k = which
    rows, at = program.rows, FACTORS + 4 * k
    a, b, c, d = rows[row, at], rows[row, at + 1], rows[row, at + 2], rows[row, at + 3]
    here, rate, both = state.carried, motions[0].carried, motions[1].carried
    total = 0.0 * here[a, 0]
    for i in range(3):
        total += (both[a, i] - both[b, i]) * (here[c, i] - here[d, i])
        total += (here[a, i] - here[b, i]) * (both[c, i] - both[d, i])
        total += (rate[0, a, i] - rate[0, b, i]) * (rate[1, c, i] - rate[1, d, i])
        total += (rate[1, a, i] - rate[1, b, i]) * (rate[0, c, i] - rate[0, d, i])
    return total  # type: ignore[no-any-return]
