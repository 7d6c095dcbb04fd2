"""Block by block linear solution of the rows' equations: compiled, in all lanes (see `states`)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.equations import (
    BLOCK_CELL,
    BLOCK_FIRST,
    BLOCK_LAST,
    EARLIER_CELL,
    EARLIER_POSITION,
    Equations,
)
from jounce.linkage.rows import set_gradients, set_slopes
from jounce.linkage.states import Lanes, States, any_lane, width
from jounce.linkage.tables import Tables
from jounce.linkage.triples import Place
from jounce.numerics.arrays import Array, IndexArray
from jounce.numerics.compiled import compiled_inline, compiled_inner, compiled_making

_LARGE_ENOUGH = 0.3  # share of its column's largest number that a pivot should have in every lane
SUITED = 0.01
"""Smallest share of its column's largest number that a pivot shared by all lanes may be in a lane [-]."""


class Factors(NamedTuple):
    """Gradients of the rows, each diagonal block factorised in place; arrays are flat, with all lanes.

    All lanes share the order of ``pivot`` rows (positions,). ``determinant`` (blocks); ``worst`` (one) is each lane's
    smallest pivot as a share of its column's largest number: where that is small, the shared order did not suit the lane.
    ``x`` (positions), ``room`` (six) and ``size`` (one) have room for one solution, one work and one column's largest.
    """

    lanes: Lanes
    cells: Array
    pivot: IndexArray
    determinant: Array
    worst: Array
    x: Array
    room: Array
    size: Array


@compiled_making
def new_factors(tables: Tables, equations: Equations, lanes: Lanes) -> Factors:
    """Room for factors."""
    lane, positions, dtype = len(lanes), len(equations.row), tables.frame.dtype
    return Factors(
        lanes,
        np.zeros((np.intp(equations.gradients.cells) + 1) * lane, dtype),
        np.zeros(positions, np.uintp),
        np.ones(len(equations.block) * lane),
        np.ones(lane),
        np.zeros(positions * lane, dtype),
        np.zeros(6 * lane, dtype),
        np.zeros(lane),
    )


@compiled_inner
def factorise(tables: Tables, variant: Place, equations: Equations, states: States, factors: Factors) -> None:
    """Take the rows' gradients, their products being set, and factorise every diagonal block."""
    set_slopes(tables, variant, states)
    set_gradients(tables, variant, equations.gradients, states, (factors.cells, factors.room))
    for lane in range(width(factors.lanes)):
        factors.worst[lane] = 1.0
    for number in range(np.uintp(len(equations.block))):
        _eliminate(equations, number, factors)


@compiled_inline
def _eliminate(equations: Equations, number: Place, factors: Factors) -> None:
    """LU factors of one diagonal block; the inverse of each pivot stands in its place."""
    cells, determinant, apart = factors.cells, factors.determinant, width(factors.lanes)
    first, last = equations.block[number, BLOCK_FIRST], equations.block[number, BLOCK_LAST]
    start, count, at = equations.block[number, BLOCK_CELL] * apart, last - first, number * apart
    across = count * apart  # from one row to the next
    for lane in range(apart):
        determinant[at + lane] = 1.0
    for k in range(count):
        best = _pivot(factors, start, count, k)
        factors.pivot[first + k] = best
        diagonal = start + k * (across + apart)
        if best != k:
            _swap(cells, start + k * across, start + best * across, across)
            for lane in range(apart):
                determinant[at + lane] = -determinant[at + lane]
        for lane in range(apart):
            determinant[at + lane] *= cells[diagonal + lane].real
        for lane in range(apart):
            cells[diagonal + lane] = 1 / cells[diagonal + lane]
        for i in range(k + np.uintp(1), count):
            below = start + i * across + k * apart
            if not any_lane(cells, below, apart):
                continue
            for lane in range(apart):
                cells[below + lane] *= cells[diagonal + lane]
            for j in range(np.uintp(1), count - k):
                _less((cells, below + j * apart), (cells, below), (cells, diagonal + j * apart), apart)


@compiled_inline
def _pivot(factors: Factors, start: Place, count: Place, k: Place) -> Place:
    """The first row of a block whose number in a column is large enough in every lane, or in most of them."""
    cells, size, worst, apart = factors.cells, factors.size, factors.worst, width(factors.lanes)
    if k == count - np.uintp(1):
        return k
    for lane in range(apart):
        size[lane] = 1e-300
    for i in range(k, count):
        place = start + (i * count + k) * apart
        for lane in range(apart):
            number = abs(cells[place + lane].real)
            size[lane] = max(size[lane], number)
    best, most = k, -1
    for i in range(k, count):
        place = start + (i * count + k) * apart
        served = 0
        for lane in range(apart):
            served += 1 if abs(cells[place + lane].real) >= _LARGE_ENOUGH * size[lane] else 0
        if served > most:
            best, most = i, served
        if most == len(factors.lanes):
            break
    place = start + (best * count + k) * apart
    for lane in range(apart):
        share = abs(cells[place + lane].real) / size[lane]
        worst[lane] = share if not share >= worst[lane] else worst[lane]
    return best


@compiled_inline
def _swap(cells: Array, one: Place, other: Place, size: Place) -> None:
    for i in range(size):
        cells[one + i], cells[other + i] = cells[other + i], cells[one + i]


@compiled_inline
def suits(factors: Factors, lane: Place) -> bool:
    """Whether a lane's solution is as good as one with an order of pivots of its own; False where it is singular."""
    return factors.worst[lane] >= SUITED and singular_block(factors, lane) < 0


@compiled_inline
def singular_block(factors: Factors, lane: Place) -> int:
    """The first block without a determinant, -1 for none."""
    apart = width(factors.lanes)
    for number in range(np.uintp(len(factors.determinant)) // apart):
        if not abs(factors.determinant[number * apart + lane]) > 0:
            return int(number)
    return -1


@compiled_inline
def thinnest_pivot(equations: Equations, factors: Factors, number: Place) -> float:
    """Smallest pivot of a block as a share of its largest, alone; of a single pivot its size, up to one."""
    first, last = equations.block[number, BLOCK_FIRST], equations.block[number, BLOCK_LAST]
    count, start = last - first, equations.block[number, BLOCK_CELL]
    least, most = np.inf, 0.0
    for k in range(count):
        size = 1 / abs(factors.cells[start + k * (count + np.uintp(1))].real)
        least, most = min(least, size), max(most, size)
    if count == 1:
        return min(1.0, least)
    return least / most if 0 < most < np.inf else 0.0


@compiled_inner
def solve(equations: Equations, factors: Factors, right: Array, change: Array) -> None:
    """Coordinate changes that change the rows as wanted.

    Args:
        equations: order of rows and coordinates
        factors: of the rows' gradients
        right: wanted change of each row, in the rows' own order [m or rad]
        change: where the coordinate changes go [m or rad]

    """
    cells, x, apart = factors.cells, factors.x, width(factors.lanes)
    for number in range(np.uintp(len(equations.block))):
        first, last = equations.block[number, BLOCK_FIRST], equations.block[number, BLOCK_LAST]
        for i in range(first, last):
            _put(x, i * apart, right, equations.row[i] * apart, apart)
            for e in range(equations.earlier_start[i], equations.earlier_start[i + np.uintp(1)]):
                cell, position = equations.earlier[e, EARLIER_CELL], equations.earlier[e, EARLIER_POSITION]
                _less((x, i * apart), (cells, cell * apart), (x, position * apart), apart)
        for k in range(last - first):
            other = factors.pivot[first + k]
            if other != k:
                _swap(x, (first + k) * apart, (first + other) * apart, apart)
        _substitute(equations, factors, number)
    for i in range(np.uintp(len(equations.row))):
        _put(change, equations.coordinate[i] * apart, x, i * apart, apart)


@compiled_inline
def _substitute(equations: Equations, factors: Factors, number: Place) -> None:
    """Forward and back substitution of one diagonal block."""
    cells, x, apart = factors.cells, factors.x, width(factors.lanes)
    first, last = equations.block[number, BLOCK_FIRST], equations.block[number, BLOCK_LAST]
    start, count = equations.block[number, BLOCK_CELL] * apart, last - first
    for i in range(np.uintp(1), count):
        for j in range(i):
            _less((x, (first + i) * apart), (cells, start + (i * count + j) * apart), (x, (first + j) * apart), apart)
    for back in range(count):
        i = count - np.uintp(1) - back
        for j in range(i + np.uintp(1), count):
            _less((x, (first + i) * apart), (cells, start + (i * count + j) * apart), (x, (first + j) * apart), apart)
        place, pivot = (first + i) * apart, start + (i * count + i) * apart
        for lane in range(apart):
            x[place + lane] *= cells[pivot + lane]


@compiled_inline
def _put(target: Array, place: Place, source: Array, other: Place, apart: Place) -> None:
    for lane in range(apart):
        target[place + lane] = source[other + lane]


Number = tuple[Array, Place]
"""A number in every lane: an array, and where it is there."""


@compiled_inline
def _less(target: Number, factor: Number, other: Number, apart: Place) -> None:
    """Take a factor times another number from a number."""
    numbers, place = target
    for lane in range(apart):
        numbers[place + lane] -= factor[0][factor[1] + lane] * other[0][other[1] + lane]
