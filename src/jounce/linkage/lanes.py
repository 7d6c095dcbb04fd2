"""Thirty-two states side by side: the tables and the room of compiled functions that work on a whole block at once.

The processor does the same to several neighbouring numbers in one go. So every quantity of a block has its states next
to each other (its lanes), quantities follow each other in flat arrays, and tables hold where each begins. Places are
unsigned: a signed one might count from an array's end, and looking after that takes longer than the arithmetic.

Blocks hold real numbers of a linkage without variants; the other functions of this room do the same one state at a
time for everything else, and where a block meets any difficulty.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.blocks import Plan
from jounce.linkage.kinds import COORDINATE_SUM
from jounce.linkage.program import (
    AXIS,
    BODY,
    COUNT,
    FACTORS,
    FIRST,
    FREEDOM,
    IS_POINT,
    KIND,
    OFFSET,
    PARENT,
    REFERENCE,
    WORKS,
    WORKS_END,
    Program,
)
from jounce.linkage.works import (
    COORDINATE,
    FORCE,
    LESS,
    MOVE_FREE,
    MOVING,
    ON,
    PRODUCT,
    SHIFT_FREE,
    TIMES,
    TURN_FREE,
    WAY,
)
from jounce.numerics.arrays import Array, IndexArray
from jounce.numerics.compiled import compiled, compiled_inline

Place = int | np.uintp
"""Where something begins in a flat array; unsigned in compiled functions."""

LANES = np.uintp(32)
"""States of a block [-]."""

FEWEST_MEASURED = 32
"""Fewer states than this are measured one by one [-]."""
FEWEST_FOLLOWED = 256
"""Fewer states than this are followed one by one: every lane's first one is, too [-]."""

AT = tuple(np.uintp(i) * LANES for i in range(15))
"""Where the numbers of one thing begin, from its own beginning: those of a body are its rotation matrix, row after row,
its origin (from `AT[9]`) and its axis as its parent stands (from `AT[12]`)."""

BODY_KIND, OWN, ABOVE, TURN_AND_SHIFT, MOVED_BY, TIED = range(6)
"""Columns of `Table.body`: freedom; where the body's numbers begin, its parent's, its rates, its first coordinate;
whether its parent is the ground."""

CARRIER, CARRIED, CARRIER_RATE, CARRIER_BODY, NUMBER = range(5)
"""Columns of `Table.base`, for base vectors that move: where the body's numbers, the vector's and the body's rates
begin, the body, and the vector's own row in the program."""

ROW_KIND, ENTRY, ENTRIES_END = range(3)
"""Columns of `Table.row`: kind, its first entry and the one after its last."""

WORK_SLOPE, WORK_WAY, WORK_FORCE, WORK_LESS, WORK_ON, WORK_MOVER, WORK_CELL = range(7)
"""Columns of `Equations.work`: see `works`; places instead of numbers, and from the last column on up to six cells."""


class Table(NamedTuple):
    """How a program hangs together, as places.

    ``body`` (bodies, 6), ``base`` (moving base vectors, 5), ``product`` (products, 8) with the places of the vectors of
    ``(a - b) . (c - d)`` and their bodies, ``row`` (measures, 3), ``entry`` (entries,) with the place of a product, or
    of a coordinate where the row is a sum of them. Constants: ``frame`` (bodies, 9), ``local`` (moving base vectors, 4)
    with 1 last for a point, ``weight`` (entries,) and ``radius`` (measures,).
    """

    body: IndexArray
    base: IndexArray
    product: IndexArray
    row: IndexArray
    entry: IndexArray
    frame: Array
    local: Array
    weight: Array
    radius: Array
    found: Array


class Equations(NamedTuple):
    """How rows are solved for coordinates, as places.

    ``work`` (works, 12), ``times`` (works,); ``sum_cell`` (entries of coordinate sums, 2) with the entry and its cell;
    ``block`` (blocks, 3): first position, the one after the last, the first cell; ``row`` and ``coordinate``
    (positions,) are the places of each position's row and coordinate, ``earlier_start`` (positions + 1,) and ``earlier``
    (…, 2) the cells of a position in earlier blocks and the places of the positions that they are multiplied with.
    ``cells`` is the number of cells; one more takes what is not wanted.
    """

    work: IndexArray
    times: Array
    sum_cell: IndexArray
    block: IndexArray
    row: IndexArray
    coordinate: IndexArray
    earlier_start: IndexArray
    earlier: IndexArray
    cells: np.uintp


class Block(NamedTuple):
    """Where everything is, in every lane, and room for products, slopes by them and values."""

    stand: Array
    coordinate: Array
    carried: Array
    product: Array
    slope: Array
    value: Array


def table_of(program: Program) -> Table:
    """Places of everything in a program without variants."""
    lanes = int(LANES)
    body = np.zeros((len(program.tree), 6), np.uintp)
    body[:, BODY_KIND] = program.tree[:, FREEDOM]
    body[:, OWN] = 15 * lanes * np.arange(len(body))
    body[:, ABOVE] = 15 * lanes * program.tree[:, PARENT]
    body[:, TURN_AND_SHIFT] = 6 * lanes * np.arange(len(body))
    body[:, MOVED_BY] = lanes * program.tree[:, FIRST]
    body[:, TIED] = program.tree[:, PARENT] == 0
    moving = np.flatnonzero(program.base[:, BODY] > 0)
    carrier = program.base[moving, BODY]
    base = np.stack((15 * lanes * carrier, 3 * lanes * moving, 6 * lanes * carrier, carrier, moving), -1)
    local = np.column_stack((program.local[0, moving], program.base[moving, IS_POINT]))
    product, entry, row, weight = _entries(program)
    return Table(
        body,
        base.astype(np.uintp),
        product,
        row,
        entry,
        np.ascontiguousarray(program.frame[0]),
        np.ascontiguousarray(local, np.float64),
        weight,
        np.ascontiguousarray(program.constants[0, :, 0]),
        _as_found(program),
    )


def _as_found(program: Program) -> Array:
    """All base vectors as found, shape (base vectors, 3) [m or -]."""
    carrier = program.base[:, BODY]
    origin = program.frame[0, :, REFERENCE:OFFSET][carrier]
    return np.ascontiguousarray(program.local[0] + origin * program.base[:, IS_POINT, None])


def _entries(program: Program) -> tuple[IndexArray, IndexArray, IndexArray, Array]:
    """Products without repeats, the entries of all rows, the rows, and the entries' weights."""
    lanes = int(LANES)
    known: dict[tuple[int, ...], int] = {}
    entry: list[int] = []
    weight: list[float] = []
    rows = []
    for number, row in enumerate(program.rows.tolist()):
        rows.append((row[KIND], len(entry), len(entry) + row[COUNT]))
        for k in range(row[COUNT]):
            four = tuple(row[FACTORS + 4 * k : FACTORS + 4 * k + 4])
            weight.append(float(program.constants[0, number, k]) if row[KIND] == COORDINATE_SUM else 1.0)
            entry.append(lanes * (four[0] if row[KIND] == COORDINATE_SUM else known.setdefault(four, len(known))))
    vectors = np.array(list(known), np.intp).reshape(-1, 4)
    product = np.concatenate((3 * lanes * vectors, program.base[:, BODY][vectors]), axis=1)
    return (
        product.astype(np.uintp),
        np.array(entry, np.uintp),
        np.array(rows, np.uintp).reshape(-1, 3),
        np.array(weight, np.float64),
    )


def equations_of(program: Program, table: Table, plan: Plan) -> Equations:
    """Places of everything that solving a program's rows by a plan needs."""
    lanes = int(LANES)
    cell, blocks, cells = _cells(plan)
    position = np.empty(len(plan.row), np.intp)
    position[plan.row] = np.arange(len(plan.row))
    works: list[list[int]] = []
    times: list[float] = []
    sums: list[tuple[int, int]] = []
    for row in range(len(program.rows)):
        at = int(position[row])
        first = int(table.row[row, ENTRY])
        if program.rows[row, KIND] == COORDINATE_SUM:
            for entry in range(first, int(table.row[row, ENTRIES_END])):
                column = int(plan.column[int(table.entry[entry]) // lanes])
                sums.append((entry, lanes * cell.get((at, column), cells)))
            continue
        for work in program.works[program.rows[row, WORKS] : program.rows[row, WORKS_END]].tolist():
            target = [lanes * cell.get((at, int(plan.column[j])), cells) for j in _coordinates(work)]
            if all(place == lanes * cells for place in target):
                continue
            target += [lanes * cells] * (6 - len(target))
            vectors = (3 * lanes * work[FORCE], 3 * lanes * work[LESS], 3 * lanes * work[ON])
            works.append([lanes * (first + work[PRODUCT]), work[WAY], *vectors, 15 * lanes * work[MOVING], *target])
            times.append(float(work[TIMES]))
    earlier = [
        (lanes * cell[at, int(other)], lanes * int(other))
        for at in range(len(plan.row))
        for other in plan.earlier[plan.earlier_start[at] : plan.earlier_start[at + 1]]
    ]
    return Equations(
        np.array(works, np.uintp).reshape(-1, WORK_CELL + 6),
        np.array(times, np.float64),
        np.array(sums, np.uintp).reshape(-1, 2),
        blocks,
        (lanes * plan.row).astype(np.uintp),
        (lanes * plan.coordinate).astype(np.uintp),
        plan.earlier_start.astype(np.uintp),
        np.array(earlier, np.uintp).reshape(-1, 2),
        np.uintp(cells),
    )


def _cells(plan: Plan) -> tuple[dict[tuple[int, int], int], IndexArray, int]:
    """Number of the cell of each position and column that is wanted, the table of blocks, and how many cells."""
    cell: dict[tuple[int, int], int] = {}
    blocks = []
    for first, last in zip(plan.start[:-1].tolist(), plan.start[1:].tolist(), strict=True):
        blocks.append((first, last, len(cell) * int(LANES)))
        for i in range(first, last):
            for j in range(first, last):
                cell[i, j] = len(cell)
    for i in range(len(plan.row)):
        for other in plan.earlier[plan.earlier_start[i] : plan.earlier_start[i + 1]].tolist():
            cell[i, other] = len(cell)
    return cell, np.array(blocks, np.uintp).reshape(-1, 3), len(cell)


def _coordinates(work: list[int]) -> range:
    """The coordinates on which a force does work; a free body's six, whether or not all are worked on."""
    first = work[COORDINATE]
    if work[WAY] in (MOVE_FREE, TURN_FREE, SHIFT_FREE):
        return range(first, first + 6)
    return range(first, first + 1)


@compiled
def new_block(table: Table, coordinates: int) -> Block:
    """Room for a block, all bodies as found and all base vectors where they are then."""
    lanes = np.intp(LANES)
    block = Block(
        np.zeros(len(table.body) * 15 * lanes),
        np.zeros(max(coordinates, 1) * lanes),
        np.zeros(len(table.found) * 3 * lanes),
        np.zeros(len(table.product) * lanes),
        np.zeros(len(table.entry) * lanes),
        np.zeros(len(table.row) * lanes),
    )
    for lane in range(LANES):
        put_as_found(table, block, lane)
    for base in range(np.uintp(len(table.found))):
        for i in range(np.uintp(3)):
            for lane in range(LANES):
                block.carried[(np.uintp(3) * base + i) * LANES + lane] = table.found[base, i]
    return block


@compiled_inline
def put_as_found(table: Table, block: Block, lane: Place) -> None:
    """Put one lane's bodies where they are in the reference pose; what they carry is left alone."""
    for place in range(lane, np.uintp(len(block.coordinate)), LANES):
        block.coordinate[place] = 0.0
    for body in range(np.uintp(len(table.body))):
        own = table.body[body, OWN]
        for i in range(np.uintp(9)):
            block.stand[own + i * LANES + lane] = 0.0
        block.stand[own + AT[0] + lane] = 1.0
        block.stand[own + AT[4] + lane] = 1.0
        block.stand[own + AT[8] + lane] = 1.0
        for i in range(np.uintp(3)):
            block.stand[own + AT[9] + i * LANES + lane] = table.frame[body, i]
            block.stand[own + AT[12] + i * LANES + lane] = table.frame[body, np.uintp(AXIS) + i]
