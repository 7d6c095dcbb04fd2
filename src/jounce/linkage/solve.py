"""Block by block linear solution of the rows' equations: compiled, one state at a time."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.blocks import Plan
from jounce.linkage.program import Program
from jounce.linkage.rows import add_gradients
from jounce.linkage.state import State
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled, compiled_inline, compiled_inner


class Factors(NamedTuple):
    """Gradients of the rows in the plan's order, each diagonal block factorised in place, and its determinant.

    ``thinnest`` is each block's smallest pivot as a share of its largest: zero when the block is singular; ``x`` has
    room for one solution in the plan's order.
    """

    matrix: Array
    pivot: IntArray
    determinant: Array
    thinnest: Array
    x: Array


@compiled
def new_factors(program: Program, plan: Plan) -> Factors:
    """Room for one state's factors."""
    size, blocks = len(plan.row), len(plan.start) - 1
    return Factors(
        np.zeros((size, size), program.frame.dtype),
        np.zeros(size, np.intp),
        np.ones(blocks, np.float64),
        np.ones(blocks, np.float64),
        np.zeros(size, program.frame.dtype),
    )


@compiled_inner
def factorise(program: Program, plan: Plan, variant: int, state: State, factors: Factors) -> None:
    """Take the rows' gradients in a state and factorise every diagonal block."""
    for i in range(len(plan.row)):
        for j in range(len(plan.row)):
            factors.matrix[i, j] = 0.0
    add_gradients(program, variant, state, (plan.row, plan.column), factors.matrix)
    for block in range(len(plan.start) - 1):
        _eliminate(factors, block, plan.start[block], plan.start[block + 1])


@compiled_inline
def _eliminate(factors: Factors, block: int, first: int, last: int) -> None:
    """LU factors of one diagonal block with partial pivoting; the inverse of each pivot stands in its place."""
    matrix = factors.matrix
    if last == first + 1:
        determinant = matrix[first, first].real
        matrix[first, first] = 1 / matrix[first, first]
        factors.pivot[first] = first
        factors.determinant[block], factors.thinnest[block] = determinant, min(1.0, abs(determinant))
        return
    determinant, least, most = 1.0, np.inf, 0.0
    for k in range(first, last):
        best, size = k, abs(matrix[k, k].real)
        for i in range(k + 1, last):
            if abs(matrix[i, k].real) > size:
                best, size = i, abs(matrix[i, k].real)
        factors.pivot[k] = best
        if best != k:
            determinant = -determinant
            for j in range(first, last):
                matrix[k, j], matrix[best, j] = matrix[best, j], matrix[k, j]
        determinant *= matrix[k, k].real
        least, most = min(least, size), max(most, size)
        inverse = 1 / matrix[k, k]
        matrix[k, k] = inverse
        for i in range(k + 1, last):
            factor = matrix[i, k] * inverse
            matrix[i, k] = factor
            for j in range(k + 1, last):
                matrix[i, j] -= factor * matrix[k, j]
    factors.determinant[block] = determinant
    factors.thinnest[block] = least / most if most > 0 else 0.0


@compiled_inner
def solve(plan: Plan, factors: Factors, right: Array, change: Array) -> None:
    """Coordinate changes that change the rows as wanted.

    Args:
        plan: order of rows and coordinates
        factors: of the rows' gradients
        right: wanted change of each row, shape (rows,), in the rows' own order [m or rad]
        change: where the coordinate changes go, shape (coordinates,) [m or rad]

    """
    matrix = factors.matrix
    x = factors.x
    for block in range(len(plan.start) - 1):
        first, last = plan.start[block], plan.start[block + 1]
        for i in range(first, last):
            x[i] = right[plan.row[i]]
            for k in range(plan.earlier_start[i], plan.earlier_start[i + 1]):
                x[i] -= matrix[i, plan.earlier[k]] * x[plan.earlier[k]]
        if last == first + 1:
            x[first] *= matrix[first, first]
            continue
        for k in range(first, last):
            other = factors.pivot[k]
            x[k], x[other] = x[other], x[k]
        for i in range(first + 1, last):
            for j in range(first, i):
                x[i] -= matrix[i, j] * x[j]
        for i in range(last - 1, first - 1, -1):
            for j in range(i + 1, last):
                x[i] -= matrix[i, j] * x[j]
            x[i] *= matrix[i, i]
    for i in range(len(x)):
        change[plan.coordinate[i]] = x[i]
