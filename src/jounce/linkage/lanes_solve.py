"""Linear solution of the rows' equations: compiled, a block of states at a time (see `lanes`, `solve`)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.lanes import LANES, Block, Equations, Place, Table
from jounce.linkage.lanes_rows import set_block_gradients, set_block_slopes
from jounce.numerics.arrays import Array, IndexArray
from jounce.numerics.compiled import compiled, compiled_inline, compiled_inner

_LARGE_ENOUGH = 0.3  # share of its column's largest number that a pivot should have in every lane
SUITED = 0.01
"""Smallest share of its column's largest number that a pivot shared by all lanes may be in a lane [-]."""

FIRST, LAST, CELL = range(3)
"""Columns of `Equations.block`."""


class BlockFactors(NamedTuple):
    """Gradients of the rows, each diagonal block factorised in place.

    All lanes share the order of ``pivot`` rows. ``determinant`` (blocks * lanes,); ``worst`` (lanes,) is each lane's
    smallest pivot as a share of its column's largest number: where that is small, the shared order did not suit the lane.
    ``x`` (positions * lanes,) has room for one solution.
    """

    cells: Array
    pivot: IndexArray
    determinant: Array
    worst: Array
    x: Array
    room: Array
    size: Array


@compiled
def new_block_factors(equations: Equations) -> BlockFactors:
    """Room for factors."""
    lanes = np.intp(LANES)
    positions = len(equations.row)
    return BlockFactors(
        np.zeros((np.intp(equations.cells) + 1) * lanes),
        np.zeros(positions, np.uintp),
        np.ones(len(equations.block) * lanes),
        np.ones(lanes),
        np.zeros(max(positions, 1) * lanes),
        np.zeros(6 * lanes),
        np.zeros(lanes),
    )


@compiled_inner
def factorise_block(table: Table, equations: Equations, block: Block, factors: BlockFactors) -> None:
    """Take the rows' gradients, their products being set, and factorise every diagonal block."""
    set_block_slopes(table, block)
    set_block_gradients(table, equations, block, factors.cells, factors.room)
    for lane in range(LANES):
        factors.worst[lane] = 1.0
    for number in range(np.uintp(len(equations.block))):
        _eliminate(equations, number, factors)


@compiled_inline
def _eliminate(equations: Equations, number: Place, factors: BlockFactors) -> None:
    """LU factors of one diagonal block; the inverse of each pivot stands in its place."""
    cells, determinant = factors.cells, factors.determinant
    first, last = equations.block[number, FIRST], equations.block[number, LAST]
    start, count, at = equations.block[number, CELL], last - first, number * LANES
    across = count * LANES  # from one row to the next
    for lane in range(LANES):
        determinant[at + lane] = 1.0
    for k in range(count):
        best = _pivot(factors, start, count, k)
        factors.pivot[first + k] = best
        diagonal = start + k * (across + LANES)
        if best != k:
            _swap(cells, start + k * across, start + best * across, across)
            for lane in range(LANES):
                determinant[at + lane] = -determinant[at + lane]
        for lane in range(LANES):
            determinant[at + lane] *= cells[diagonal + lane]
        for lane in range(LANES):
            cells[diagonal + lane] = 1 / cells[diagonal + lane]
        for i in range(k + np.uintp(1), count):
            below = start + i * across + k * LANES
            if not _any(cells, below):
                continue
            for lane in range(LANES):
                cells[below + lane] *= cells[diagonal + lane]
            for j in range(np.uintp(1), count - k):
                _take_away(cells, below + j * LANES, below, diagonal + j * LANES)


@compiled_inline
def _pivot(factors: BlockFactors, start: Place, count: Place, k: Place) -> Place:
    """The first row of a block whose number in a column is large enough in every lane, or in most of them."""
    cells, size, worst = factors.cells, factors.size, factors.worst
    if k == count - np.uintp(1):
        return k
    for lane in range(LANES):
        size[lane] = 1e-300
    for i in range(k, count):
        place = start + (i * count + k) * LANES
        for lane in range(LANES):
            number = abs(cells[place + lane])
            size[lane] = max(size[lane], number)
    best, most = k, -1
    for i in range(k, count):
        place = start + (i * count + k) * LANES
        served = 0
        for lane in range(LANES):
            served += 1 if abs(cells[place + lane]) >= _LARGE_ENOUGH * size[lane] else 0
        if served > most:
            best, most = i, served
        if most == LANES:
            break
    place = start + (best * count + k) * LANES
    for lane in range(LANES):
        share = abs(cells[place + lane]) / size[lane]
        worst[lane] = share if not share >= worst[lane] else worst[lane]
    return best


@compiled_inline
def _swap(cells: Array, one: Place, other: Place, width: Place) -> None:
    for i in range(width):
        cells[one + i], cells[other + i] = cells[other + i], cells[one + i]


@compiled_inline
def _any(cells: Array, place: Place) -> bool:
    for lane in range(LANES):  # noqa: SIM110 - the compiler knows loops
        if cells[place + lane] != 0.0:
            return True
    return False


@compiled_inline
def _take_away(cells: Array, target: Place, factor: Place, other: Place) -> None:
    for lane in range(LANES):
        cells[target + lane] -= cells[factor + lane] * cells[other + lane]


@compiled_inline
def suits(factors: BlockFactors, lane: Place) -> bool:
    """Whether a lane's solution is as good as one with an order of pivots of its own; False where it is singular."""
    if not factors.worst[lane] >= SUITED:
        return False
    for place in range(lane, np.uintp(len(factors.determinant)), LANES):  # noqa: SIM110 - the compiler knows loops
        if not abs(factors.determinant[place]) > 0:
            return False
    return True


@compiled_inner
def solve_block(equations: Equations, factors: BlockFactors, right: Array, change: Array, target: Place) -> None:
    """Coordinate changes that change the rows as wanted.

    Args:
        equations: order of rows and coordinates
        factors: of the rows' gradients
        right: wanted change of each row, shape (rows * lanes,) [m or rad]
        change: where the coordinate changes go [m or rad]
        target: where they begin in it

    """
    cells, x = factors.cells, factors.x
    for number in range(np.uintp(len(equations.block))):
        first, last = equations.block[number, FIRST], equations.block[number, LAST]
        for i in range(first, last):
            _put(x, i * LANES, right, equations.row[i])
            for e in range(equations.earlier_start[i], equations.earlier_start[i + np.uintp(1)]):
                _less(x, i * LANES, cells, equations.earlier[e, 0], equations.earlier[e, 1])
        for k in range(last - first):
            other = factors.pivot[first + k]
            if other != k:
                _swap(x, (first + k) * LANES, (first + other) * LANES, LANES)
        _substitute(equations, factors, number)
    for i in range(np.uintp(len(equations.row))):
        _put(change, target + equations.coordinate[i], x, i * LANES)


@compiled_inline
def _substitute(equations: Equations, factors: BlockFactors, number: Place) -> None:
    """Forward and back substitution of one diagonal block."""
    cells, x = factors.cells, factors.x
    first, last = equations.block[number, FIRST], equations.block[number, LAST]
    start, count = equations.block[number, CELL], last - first
    for i in range(np.uintp(1), count):
        for j in range(i):
            _less(x, (first + i) * LANES, cells, start + (i * count + j) * LANES, (first + j) * LANES)
    for back in range(count):
        i = count - np.uintp(1) - back
        for j in range(i + np.uintp(1), count):
            _less(x, (first + i) * LANES, cells, start + (i * count + j) * LANES, (first + j) * LANES)
        _times(x, (first + i) * LANES, cells, start + (i * count + i) * LANES)


@compiled_inline
def _put(target: Array, place: Place, source: Array, other: Place) -> None:
    for lane in range(LANES):
        target[place + lane] = source[other + lane]


@compiled_inline
def _less(x: Array, place: Place, cells: Array, factor: Place, other: Place) -> None:
    for lane in range(LANES):
        x[place + lane] -= cells[factor + lane] * x[other + lane]


@compiled_inline
def _times(x: Array, place: Place, cells: Array, factor: Place) -> None:
    for lane in range(LANES):
        x[place + lane] *= cells[factor + lane]
