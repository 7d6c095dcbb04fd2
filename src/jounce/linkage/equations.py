"""Where gradients go, and how rows are solved for coordinates: tables for compiled functions.

Of the gradients of all rows by all coordinates only some are wanted; each of these has a *cell*.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.blocks import Plan
from jounce.linkage.kinds import COORDINATE_SUM
from jounce.linkage.tables import ENTRIES_END, ENTRY, KIND, WORKS, WORKS_END, Tables
from jounce.linkage.virtual_work import COORDINATE, MOVE_FREE, SHIFT_FREE, TURN_FREE, WAY, WORK_COLUMNS
from jounce.numerics.arrays import IndexArray, IntArray

CELL = WORK_COLUMNS
"""First of six columns of `Gradients.work` behind those of `virtual_work`: the cells of up to six coordinates."""

MEASURE, CONSTANT, SUM_CELL = range(3)
"""Columns of `Gradients.sums`: a coordinate sum, the number of one of its weights, and its cell."""

BLOCK_FIRST, BLOCK_LAST, BLOCK_CELL = range(3)
"""Columns of `Equations.block`: first position, the one after the last, the first cell."""

EARLIER_CELL, EARLIER_POSITION = range(2)
"""Columns of `Equations.earlier`."""


class Gradients(NamedTuple):
    """Where the gradients of rows go: ``work`` (works, 14), ``sums`` (…, 3).

    ``cells`` is the number of cells; one more takes what is not wanted.
    """

    work: IndexArray
    sums: IndexArray
    cells: np.uintp


class Equations(NamedTuple):
    """How rows are solved for coordinates.

    ``block`` (blocks, 3); ``row`` and ``coordinate`` (positions,) of each position in the order of solution;
    ``earlier_start`` (positions + 1,) and ``earlier`` (…, 2) the cells of a position in earlier blocks and the positions
    that they are multiplied with.
    """

    gradients: Gradients
    block: IndexArray
    row: IndexArray
    coordinate: IndexArray
    earlier_start: IndexArray
    earlier: IndexArray


def all_gradients(tables: Tables, coordinates: int) -> Gradients:
    """Every row's derivative by every coordinate, row after row.

    Args:
        tables: bodies and measures
        coordinates: how many there are [-]

    """
    rows = len(tables.rows)
    return _gradients(tables, np.arange(rows * coordinates).reshape(rows, coordinates), rows * coordinates)


def equations_of(tables: Tables, plan: Plan) -> Equations:
    """What solving rows by a plan needs.

    Args:
        tables: bodies and rows, as many as coordinates
        plan: in which order

    """
    size = len(plan.row)
    here = np.repeat(np.arange(size), np.diff(plan.earlier_start))
    squares = np.concatenate(([0], np.cumsum(np.diff(plan.start) ** 2)))
    cells = int(squares[-1]) + len(plan.earlier)
    cell = np.full((size, size), cells)  # of each position and column
    for number, (first, last) in enumerate(zip(plan.start[:-1].tolist(), plan.start[1:].tolist(), strict=True)):
        cell[first:last, first:last] = np.arange(squares[number], squares[number + 1]).reshape(last - first, -1)
    earlier_cell = squares[-1] + np.arange(len(plan.earlier))
    cell[here, plan.earlier] = earlier_cell
    position = np.empty(size, np.intp)
    position[plan.row] = np.arange(size)
    return Equations(
        _gradients(tables, cell[position][:, plan.column], cells),
        np.column_stack((plan.start[:-1], plan.start[1:], squares[:-1])).astype(np.uintp),
        plan.row.astype(np.uintp),
        plan.coordinate.astype(np.uintp),
        plan.earlier_start.astype(np.uintp),
        np.column_stack((earlier_cell, plan.earlier)).astype(np.uintp),
    )


def _gradients(tables: Tables, cell: IntArray, cells: int) -> Gradients:
    """Where gradients go, given the cell of each row and coordinate: ``cells`` where none is wanted."""
    rows, works = tables.rows.astype(np.intp), tables.works.astype(np.intp)
    of_row = np.repeat(np.arange(len(rows)), rows[:, WORKS_END] - rows[:, WORKS])
    many = np.isin(works[:, WAY], (MOVE_FREE, TURN_FREE, SHIFT_FREE))[:, None]  # a free body's six coordinates
    step = np.arange(6)
    worked_on = works[:, COORDINATE, None] + np.where(many, step, 0)
    target = np.where(many | (step == 0), cell[of_row[:, None], worked_on], cells)
    wanted = (target != cells).any(axis=1)
    sums = [
        (row, k, cell[row, tables.entry[entry]])
        for row in np.flatnonzero(rows[:, KIND] == COORDINATE_SUM).tolist()
        for k, entry in enumerate(range(rows[row, ENTRY], rows[row, ENTRIES_END]))
    ]
    work = np.concatenate((works[wanted], target[wanted]), axis=1).astype(np.uintp)
    return Gradients(work, np.array(sums, np.uintp).reshape(-1, 3), np.uintp(cells))
