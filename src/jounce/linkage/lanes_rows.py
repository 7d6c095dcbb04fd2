"""Values and gradients of measures: compiled, a block of states at a time (see `lanes`, `rows`, `functions`)."""

from __future__ import annotations

import numpy as np

from jounce.linkage.kinds import BEARING, COMPONENT, COORDINATE_SUM, DISTANCE, MEAN_COMPONENT
from jounce.linkage.lanes import (
    AT,
    ENTRIES_END,
    ENTRY,
    LANES,
    ROW_KIND,
    WORK_CELL,
    WORK_FORCE,
    WORK_LESS,
    WORK_MOVER,
    WORK_ON,
    WORK_SLOPE,
    WORK_WAY,
    Block,
    Equations,
    Place,
    Table,
)
from jounce.linkage.works import MOVE_FREE, MOVE_ROUND, SHIFT_FREE, SLIDE_ALONG, TURN_FREE, TURN_ROUND
from jounce.numerics.arrays import Array, IndexArray
from jounce.numerics.compiled import compiled_inline, compiled_inner


@compiled_inner
def set_block_products(table: Table, block: Block) -> None:
    """All dot products ``(a - b) . (c - d)``."""
    carried, product = block.carried, block.product
    for number in range(np.uintp(len(table.product))):
        a, b, c, d = (
            table.product[number, 0],
            table.product[number, 1],
            table.product[number, 2],
            table.product[number, 3],
        )
        place = number * LANES
        for lane in range(LANES):
            e, f, g, h = a + lane, b + lane, c + lane, d + lane
            product[place + lane] = (
                (carried[e] - carried[f]) * (carried[g] - carried[h])
                + (carried[e + AT[1]] - carried[f + AT[1]]) * (carried[g + AT[1]] - carried[h + AT[1]])
                + (carried[e + AT[2]] - carried[f + AT[2]]) * (carried[g + AT[2]] - carried[h + AT[2]])
            )


@compiled_inner
def set_block_values(table: Table, block: Block, value: Array, first: Place, apart: Place) -> None:
    """Values of all measures from products that are set, written to ``value[first + apart * row + lane]``."""
    product = block.product
    for row in range(np.uintp(len(table.row))):
        kind, entry, end = table.row[row, ROW_KIND], table.row[row, ENTRY], table.row[row, ENTRIES_END]
        at = first + apart * row
        if kind == COORDINATE_SUM:
            sum_entries(table, block.coordinate, (entry, end), (value, at))
            continue
        p = table.entry[entry]
        if kind == COMPONENT:
            for lane in range(LANES):
                value[at + lane] = product[p + lane]
        elif kind == DISTANCE:
            for lane in range(LANES):
                value[at + lane] = np.sqrt(product[p + lane])
        elif kind == MEAN_COMPONENT:
            q = table.entry[entry + np.uintp(1)]
            for lane in range(LANES):
                value[at + lane] = 0.5 * (product[p + lane] + product[q + lane])
        elif kind == BEARING:
            q = table.entry[entry + np.uintp(1)]
            _bearing(product, p, q, (value, at))
        else:
            _tyre_value(table, block, entry, table.radius[row], (value, at))


@compiled_inline
def _bearing(product: Array, rise: Place, run: Place, target: tuple[Array, Place]) -> None:
    """``atan2(rise, run)`` in all lanes together where each runs ahead: three times the half angle, then the series.

    The tangent of half an angle is ``rise / (run + sqrt(rise² + run²))``.
    """
    value, at = target
    backward = 0
    for lane in range(LANES):
        s, c = product[rise + lane], product[run + lane]
        t = s / (c + np.sqrt(s * s + c * c))
        t = t / (1 + np.sqrt(1 + t * t))
        t = t / (1 + np.sqrt(1 + t * t))
        z = t * t
        a = 1 / 15 - z * (1 / 17 - z * (1 / 19 - z * (1 / 21 - z * (1 / 23))))
        a = 1 / 7 - z * (1 / 9 - z * (1 / 11 - z * (1 / 13 - z * a)))
        value[at + lane] = 8 * (t - t * z * (1 / 3 - z * (1 / 5 - z * a)))
        backward += 0 if c > 0 else 1
    if backward:
        for lane in range(LANES):
            value[at + lane] = np.arctan2(product[rise + lane], product[run + lane])


@compiled_inline
def sum_entries(table: Table, of: Array, entries: tuple[Place, Place], target: tuple[Array, Place]) -> None:
    """A coordinate sum of coordinates or of their rates."""
    value, at = target
    for lane in range(LANES):
        value[at + lane] = 0.0
    for entry in range(entries[0], entries[1]):
        weight, j = table.weight[entry], table.entry[entry]
        for lane in range(LANES):
            value[at + lane] += weight * of[j + lane]


@compiled_inline
def _tyre_value(table: Table, block: Block, entry: Place, radius: float, target: tuple[Array, Place]) -> None:
    value, at = target
    product = block.product
    o, p, q, r = (
        table.entry[entry],
        table.entry[entry + np.uintp(1)],
        table.entry[entry + np.uintp(2)],
        table.entry[entry + np.uintp(3)],
    )
    for lane in range(LANES):
        g, h, m = product[p + lane], product[q + lane], product[r + lane]
        value[at + lane] = product[o + lane] - radius * (m - g * h) / np.sqrt(1 - g * g)


@compiled_inner
def set_block_slopes(table: Table, block: Block) -> None:
    """Slopes of all measures by their products, which are set."""
    product, slope = block.product, block.slope
    for row in range(np.uintp(len(table.row))):
        kind, entry = table.row[row, ROW_KIND], table.row[row, ENTRY]
        at = entry * LANES
        p = table.entry[entry] if entry < np.uintp(len(table.entry)) else np.uintp(0)
        if kind == COMPONENT:
            for lane in range(LANES):
                slope[at + lane] = 1.0
        elif kind == DISTANCE:
            for lane in range(LANES):
                slope[at + lane] = 0.5 / np.sqrt(product[p + lane])
        elif kind == MEAN_COMPONENT:
            for lane in range(LANES):
                slope[at + lane] = 0.5
                slope[at + AT[1] + lane] = 0.5
        elif kind == BEARING:
            q = table.entry[entry + np.uintp(1)]
            for lane in range(LANES):
                s, c = product[p + lane], product[q + lane]
                size = s * s + c * c
                slope[at + lane] = c / size
                slope[at + AT[1] + lane] = -s / size
        elif kind != COORDINATE_SUM:
            _tyre_slope(table, block, entry, table.radius[row])


@compiled_inline
def _tyre_slope(table: Table, block: Block, entry: Place, radius: float) -> None:
    product, slope, at = block.product, block.slope, entry * LANES
    p, q, r = (
        table.entry[entry + np.uintp(1)],
        table.entry[entry + np.uintp(2)],
        table.entry[entry + np.uintp(3)],
    )
    for lane in range(LANES):
        g, h, m = product[p + lane], product[q + lane], product[r + lane]
        s = 1 / np.sqrt(1 - g * g)
        slope[at + lane] = 1.0
        slope[at + AT[1] + lane] = -radius * (-h * s + (m - g * h) * g * s * s * s)
        slope[at + AT[2] + lane] = radius * g * s
        slope[at + AT[3] + lane] = -radius * s


@compiled_inner
def set_block_gradients(table: Table, equations: Equations, block: Block, cells: Array, room: Array) -> None:
    """Gradients of all rows by the coordinates; slopes are set.

    Args:
        table: places
        equations: where the work of each force goes
        block: the states
        cells: where the gradients go, shape ((cells + 1) * lanes,)
        room: to work in, shape (6 * lanes,)

    """
    for place in range(np.uintp(len(cells))):
        cells[place] = 0.0
    for number in range(np.uintp(len(equations.sum_cell))):
        cell = equations.sum_cell[number, 1]
        weight = table.weight[equations.sum_cell[number, 0]]
        for lane in range(LANES):
            cells[cell + lane] += weight
    work = equations.work
    for number in range(np.uintp(len(work))):
        way, cell = work[number, WORK_WAY], work[number, WORK_CELL]
        if way == SLIDE_ALONG:
            _slide_work(block, work, number, equations.times[number], room)
            _add(cells, cell, room, np.uintp(0))
            continue
        _force(block, work, number, equations.times[number], room)
        if way in (SHIFT_FREE, MOVE_FREE):
            for i in range(np.uintp(3)):
                _add(cells, work[number, np.uintp(WORK_CELL) + i], room, i * LANES)
        if way in (MOVE_FREE, MOVE_ROUND):
            _moment_of_point(block, work, number, room)
        elif way in (TURN_FREE, TURN_ROUND):
            _moment_of_direction(block, work, number, room)
        if way in (MOVE_FREE, TURN_FREE):
            for i in range(np.uintp(3), np.uintp(6)):
                _add(cells, work[number, np.uintp(WORK_CELL) + i], room, i * LANES)
        elif way in (MOVE_ROUND, TURN_ROUND):
            _round_axis(block, work, number, room)
            _add(cells, cell, room, np.uintp(0))


@compiled_inline
def _add(cells: Array, cell: Place, room: Array, place: Place) -> None:
    for lane in range(LANES):
        cells[cell + lane] += room[place + lane]


@compiled_inline
def _force(block: Block, work: IndexArray, number: Place, times: float, room: Array) -> None:
    """The force of one work, into the first three places."""
    carried, slope = block.carried, block.slope
    s, a, b = work[number, WORK_SLOPE], work[number, WORK_FORCE], work[number, WORK_LESS]
    for lane in range(LANES):
        factor = times * slope[s + lane]
        room[lane] = factor * (carried[a + lane] - carried[b + lane])
        room[AT[1] + lane] = factor * (carried[a + AT[1] + lane] - carried[b + AT[1] + lane])
        room[AT[2] + lane] = factor * (carried[a + AT[2] + lane] - carried[b + AT[2] + lane])


@compiled_inline
def _slide_work(block: Block, work: IndexArray, number: Place, times: float, room: Array) -> None:
    """What a force does along the mover's axis, into the first place."""
    carried, slope, stand = block.carried, block.slope, block.stand
    s, a, b, m = (
        work[number, WORK_SLOPE],
        work[number, WORK_FORCE],
        work[number, WORK_LESS],
        work[number, WORK_MOVER],
    )
    for lane in range(LANES):
        room[lane] = (
            times
            * slope[s + lane]
            * (
                (carried[a + lane] - carried[b + lane]) * stand[m + AT[12] + lane]
                + (carried[a + AT[1] + lane] - carried[b + AT[1] + lane]) * stand[m + AT[13] + lane]
                + (carried[a + AT[2] + lane] - carried[b + AT[2] + lane]) * stand[m + AT[14] + lane]
            )
        )


@compiled_inline
def _moment_of_point(block: Block, work: IndexArray, number: Place, room: Array) -> None:
    """Moment about the mover's origin of the force, which is in the first three places, into the last three."""
    carried, stand = block.carried, block.stand
    on, m = work[number, WORK_ON], work[number, WORK_MOVER]
    for lane in range(LANES):
        u = carried[on + lane] - stand[m + AT[9] + lane]
        v = carried[on + AT[1] + lane] - stand[m + AT[10] + lane]
        w = carried[on + AT[2] + lane] - stand[m + AT[11] + lane]
        x, y, z = room[lane], room[AT[1] + lane], room[AT[2] + lane]
        room[AT[3] + lane] = v * z - w * y
        room[AT[4] + lane] = w * x - u * z
        room[AT[5] + lane] = u * y - v * x


@compiled_inline
def _moment_of_direction(block: Block, work: IndexArray, number: Place, room: Array) -> None:
    """The same of a force on a direction."""
    carried, on = block.carried, work[number, WORK_ON]
    for lane in range(LANES):
        u, v, w = carried[on + lane], carried[on + AT[1] + lane], carried[on + AT[2] + lane]
        x, y, z = room[lane], room[AT[1] + lane], room[AT[2] + lane]
        room[AT[3] + lane] = v * z - w * y
        room[AT[4] + lane] = w * x - u * z
        room[AT[5] + lane] = u * y - v * x


@compiled_inline
def _round_axis(block: Block, work: IndexArray, number: Place, room: Array) -> None:
    """The moment, which is in the last three places, about the mover's axis, into the first."""
    stand, m = block.stand, work[number, WORK_MOVER]
    for lane in range(LANES):
        room[lane] = (
            stand[m + AT[12] + lane] * room[AT[3] + lane]
            + stand[m + AT[13] + lane] * room[AT[4] + lane]
            + stand[m + AT[14] + lane] * room[AT[5] + lane]
        )
