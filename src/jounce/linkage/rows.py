"""Values and gradients of measures: compiled, in all lanes (see `states`); their formulas are in `functions`.

A gradient is found backwards: a measure's derivative by a vector is a force on it, and a force on a body's point does
work on every coordinate of the bodies that move it.
"""

from __future__ import annotations

import numpy as np

from jounce.linkage.equations import CELL, CONSTANT, MEASURE, SUM_CELL, Gradients
from jounce.linkage.functions import (
    bearing,
    bearing_slope,
    distance,
    distance_slope,
    tyre_point,
    tyre_point_slope,
)
from jounce.linkage.kinds import BEARING, COMPONENT, COORDINATE_SUM, DISTANCE, MEAN_COMPONENT
from jounce.linkage.states import States, axis_of, between, origin_of, width
from jounce.linkage.tables import ENTRIES_END, ENTRY, KIND, Tables
from jounce.linkage.triples import Place, Triple, cross, dot, minus, put_three, three, times
from jounce.linkage.virtual_work import (
    FORCE,
    LESS,
    MOVE_FREE,
    MOVE_ROUND,
    MOVING,
    ON,
    SHIFT_FREE,
    SLIDE_ALONG,
    SLOPE,
    TIMES,
    TURN_FREE,
    TURN_ROUND,
    WAY,
)
from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled_inline, compiled_inner


@compiled_inner
def set_products(tables: Tables, states: States) -> None:
    """All dot products ``(a - b) . (c - d)``."""
    carried, apart = states.carried, width(states.lanes)
    for number in range(np.uintp(len(tables.product))):
        left, right = ends_of(tables, number)
        for lane in range(apart):
            one, other = between(carried, left, lane, apart), between(carried, right, lane, apart)
            states.product[number * apart + lane] = dot(one, other)


@compiled_inline
def ends_of(tables: Tables, number: Place) -> tuple[tuple[Place, Place], tuple[Place, Place]]:
    """Base vectors of a product's two vectors: each is the first less the second."""
    product = tables.product
    return (product[number, 0], product[number, 1]), (product[number, 2], product[number, 3])


@compiled_inner
def set_values(tables: Tables, variant: Place, states: States, value: Array, target: tuple[Place, Place]) -> None:
    """Values of all measures, whose products are set.

    Args:
        tables: bodies and measures
        variant: which constants
        states: where the bodies are
        value: where they go, flat [m or rad]
        target: where they begin there, and how far apart rows are

    """
    first, row_apart = target
    product, apart = states.product, width(states.lanes)
    for row in range(np.uintp(len(tables.rows))):
        kind, at = tables.rows[row, KIND], first + row_apart * row
        if kind == COORDINATE_SUM:
            set_sum(tables, variant, row, states.coordinate, (value, at, apart))
            continue
        p, q = product_of(tables, row, np.uintp(0), apart), product_of(tables, row, np.uintp(1), apart)
        if kind == COMPONENT:
            for lane in range(apart):
                value[at + lane] = product[p + lane]
        elif kind == DISTANCE:
            for lane in range(apart):
                value[at + lane] = distance(product[p + lane])
        elif kind == MEAN_COMPONENT:
            for lane in range(apart):
                value[at + lane] = 0.5 * (product[p + lane] + product[q + lane])
        elif kind == BEARING:
            for lane in range(apart):
                value[at + lane] = bearing(product[p + lane], product[q + lane], apart)
        else:
            radius, places = tables.constants[variant, row, 0], cosines_at(tables, row, apart)
            for lane in range(apart):
                value[at + lane] = tyre_point(product[p + lane], cosines(product, places, lane), radius)


@compiled_inline
def product_of(tables: Tables, row: Place, number: Place, apart: Place) -> Place:
    """Where one of a row's products is; that of its last where there are not so many."""
    entry, last = tables.rows[row, ENTRY] + number, tables.rows[row, ENTRIES_END] - np.uintp(1)
    return tables.entry[min(last, entry)] * apart  # type: ignore[no-any-return]


@compiled_inline
def cosines_at(tables: Tables, row: Place, apart: Place) -> tuple[Place, Place, Place]:
    """Where the three cosines of a tyre's point are."""
    return (
        product_of(tables, row, np.uintp(1), apart),
        product_of(tables, row, np.uintp(2), apart),
        product_of(tables, row, np.uintp(3), apart),
    )


@compiled_inline
def cosines(product: Array, places: tuple[Place, Place, Place], lane: Place) -> Triple:
    """The three cosines of a tyre's point."""
    return product[places[0] + lane], product[places[1] + lane], product[places[2] + lane]


@compiled_inline
def set_sum(tables: Tables, variant: Place, row: Place, of: Array, target: tuple[Array, Place, Place]) -> None:
    """A coordinate sum of coordinates, or of their velocity or acceleration."""
    value, at, apart = target
    first, end = tables.rows[row, ENTRY], tables.rows[row, ENTRIES_END]
    for lane in range(apart):
        value[at + lane] = 0.0
    for entry in range(first, end):
        weight, j = tables.constants[variant, row, entry - first], tables.entry[entry] * apart
        for lane in range(apart):
            value[at + lane] += weight * of[j + lane]


@compiled_inner
def set_slopes(tables: Tables, variant: Place, states: States) -> None:
    """Slopes of all measures by their products, which are set."""
    product, slope, apart = states.product, states.slope, width(states.lanes)
    for row in range(np.uintp(len(tables.rows))):
        kind, at = tables.rows[row, KIND], tables.rows[row, ENTRY] * apart
        if kind == COORDINATE_SUM:
            continue
        p, q = product_of(tables, row, np.uintp(0), apart), product_of(tables, row, np.uintp(1), apart)
        if kind == COMPONENT:
            for lane in range(apart):
                slope[at + lane] = 1.0
        elif kind == DISTANCE:
            for lane in range(apart):
                slope[at + lane] = distance_slope(product[p + lane])
        elif kind == MEAN_COMPONENT:
            for lane in range(apart):
                slope[at + lane] = 0.5
                slope[at + apart + lane] = 0.5
        elif kind == BEARING:
            for lane in range(apart):
                by_rise, by_run = bearing_slope(product[p + lane], product[q + lane])
                slope[at + lane] = by_rise
                slope[at + apart + lane] = by_run
        else:
            radius, places = tables.constants[variant, row, 0], cosines_at(tables, row, apart)
            for lane in range(apart):
                slope[at + lane] = 1.0
                put_three(slope, at + apart + lane, apart, tyre_point_slope(cosines(product, places, lane), radius))


@compiled_inner
def set_gradients(
    tables: Tables, variant: Place, gradients: Gradients, states: States, target: tuple[Array, Array]
) -> None:
    """Gradients of rows by the coordinates; slopes are set.

    Args:
        tables: bodies and rows
        variant: which constants
        gradients: where the work of each force goes
        states: where the bodies are
        target: the cells, with one more for what is not wanted; and room to work in, shape (6,), both in every lane

    """
    cells, room = target
    apart, work = width(states.lanes), gradients.work
    for place in range(np.uintp(len(cells))):
        cells[place] = 0.0
    for number in range(np.uintp(len(gradients.sums))):
        cell = gradients.sums[number, SUM_CELL] * apart
        weight = tables.constants[variant, gradients.sums[number, MEASURE], gradients.sums[number, CONSTANT]]
        for lane in range(apart):
            cells[cell + lane] += weight
    for number in range(np.uintp(len(work))):
        way = work[number, WAY]
        _set_work(work[number, WAY], gradients, number, states, room)
        if way in (SHIFT_FREE, MOVE_FREE):
            for i in range(np.uintp(3)):
                _add(cells, work[number, np.uintp(CELL) + i], room, i, apart)
        if way in (MOVE_FREE, TURN_FREE):
            for i in range(np.uintp(3), np.uintp(6)):
                _add(cells, work[number, np.uintp(CELL) + i], room, i, apart)
        elif way != SHIFT_FREE:
            _add(cells, work[number, CELL], room, np.uintp(0), apart)


@compiled_inline
def _add(cells: Array, cell: Place, room: Array, number: Place, apart: Place) -> None:
    for lane in range(apart):
        cells[cell * apart + lane] += room[number * apart + lane]


@compiled_inline
def _set_work(way: Place, gradients: Gradients, number: Place, states: States, room: Array) -> None:
    """Work of a force: on a free body's shift and turn in all six places of the room, else in its first.

    A force on a base vector does the work ``axis . force`` along a slide and ``axis . (arm x force)`` round a hinge; on
    a free body, ``force`` along the ground's axes and the moment ``arm x force`` round them.
    """
    apart, work, carried = width(states.lanes), gradients.work, states.carried
    mover, on = work[number, MOVING], np.uintp(3) * apart * work[number, ON]
    moment = np.uintp(3) * apart
    if way == SLIDE_ALONG:
        for lane in range(apart):
            room[lane] = dot(_force(gradients, number, states, lane), axis_of(states, mover, lane))
        return
    for lane in range(apart):
        put_three(room, lane, apart, _force(gradients, number, states, lane))
    if way in (MOVE_FREE, MOVE_ROUND):
        for lane in range(apart):
            arm = minus(three(carried, on + lane, apart), origin_of(states, mover, lane))
            put_three(room, moment + lane, apart, cross(arm, three(room, lane, apart)))
    elif way in (TURN_FREE, TURN_ROUND):
        for lane in range(apart):
            arm = three(carried, on + lane, apart)
            put_three(room, moment + lane, apart, cross(arm, three(room, lane, apart)))
    if way in (MOVE_ROUND, TURN_ROUND):
        for lane in range(apart):
            room[lane] = dot(axis_of(states, mover, lane), three(room, moment + lane, apart))


@compiled_inline
def _force(gradients: Gradients, number: Place, states: States, lane: Place) -> Triple:
    """A measure's derivative by one of its base vectors."""
    work, apart = gradients.work, width(states.lanes)
    factor = float(work[number, TIMES]) * states.slope[work[number, SLOPE] * apart + lane]
    return times(factor, between(states.carried, (work[number, FORCE], work[number, LESS]), lane, apart))
