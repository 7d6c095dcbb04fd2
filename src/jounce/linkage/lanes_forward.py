"""First derivatives of measures along motions: compiled, a block of states at a time (see `lanes`, `forward`)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.kinds import BEARING, COMPONENT, COORDINATE_SUM, DISTANCE, MEAN_COMPONENT
from jounce.linkage.lanes import (
    ABOVE,
    AT,
    BODY_KIND,
    CARRIED,
    CARRIER,
    CARRIER_BODY,
    CARRIER_RATE,
    ENTRIES_END,
    ENTRY,
    LANES,
    MOVED_BY,
    OWN,
    ROW_KIND,
    TURN_AND_SHIFT,
    Block,
    Place,
    Table,
)
from jounce.linkage.lanes_motion import any_lane
from jounce.linkage.lanes_rows import sum_entries
from jounce.linkage.motion import FIXED, FREE, HINGE
from jounce.numerics.arrays import Array, IndexArray
from jounce.numerics.compiled import compiled, compiled_inline, compiled_inner


class BlockFlow(NamedTuple):
    """One motion of a block.

    ``velocity`` (coordinates * lanes,); ``bodies`` (bodies * 6 * lanes,): a body's turning rate and its origin's
    velocity; ``carried`` (base vectors * 3 * lanes,), ``product`` (products * lanes,); ``moves`` (bodies,) is 1 for
    a body that the motion moves in any lane.
    """

    velocity: Array
    bodies: Array
    carried: Array
    product: Array
    moves: IndexArray


@compiled
def new_block_flow(table: Table, coordinates: int) -> BlockFlow:
    """Room for one motion."""
    lanes = np.intp(LANES)
    return BlockFlow(
        np.zeros(max(coordinates, 1) * lanes),
        np.zeros(len(table.body) * 6 * lanes),
        np.zeros(len(table.found) * 3 * lanes),
        np.zeros(len(table.product) * lanes),
        np.zeros(len(table.body), np.uintp),
    )


@compiled_inner
def flow_block(table: Table, block: Block, motion: BlockFlow) -> None:
    """Rates of all bodies, base vectors and products for a motion's velocity."""
    for body in range(np.uintp(1), np.uintp(len(table.body))):
        _flow_body(table, block, motion, body)
    for number in range(np.uintp(len(table.base))):
        if motion.moves[table.base[number, CARRIER_BODY]]:
            _flow_vector(table, block, motion, number)
        else:
            place = table.base[number, CARRIED]
            for i in range(np.uintp(3) * LANES):
                motion.carried[place + i] = 0.0
    moves = motion.moves
    for number in range(np.uintp(len(table.product))):
        left = moves[table.product[number, 4]] | moves[table.product[number, 5]]
        right = moves[table.product[number, 6]] | moves[table.product[number, 7]]
        same = (table.product[number, 0], table.product[number, 1]) == (
            table.product[number, 2],
            table.product[number, 3],
        )
        if left and same:
            _flow_half(table, block, motion, number, (np.uintp(0), np.uintp(2), 2.0))
        elif left and right:
            _flow_product(table, block, motion, number)
        elif left:
            _flow_half(table, block, motion, number, (np.uintp(0), np.uintp(2), 1.0))
        elif right:
            _flow_half(table, block, motion, number, (np.uintp(2), np.uintp(0), 1.0))
        else:
            for lane in range(LANES):
                motion.product[number * LANES + lane] = 0.0


@compiled_inline
def _flow_half(table: Table, block: Block, motion: BlockFlow, number: Place, which: tuple[Place, Place, float]) -> None:
    """Rate of a product of which one vector changes, or whose vectors are the same one."""
    here, rate, product, place = block.carried, motion.carried, motion.product, number * LANES
    moving, still, times = which
    a, b = table.product[number, moving], table.product[number, moving + np.uintp(1)]
    c, d = table.product[number, still], table.product[number, still + np.uintp(1)]
    for lane in range(LANES):
        e, f, g, h = a + lane, b + lane, c + lane, d + lane
        product[place + lane] = times * (
            (rate[e] - rate[f]) * (here[g] - here[h])
            + (rate[e + AT[1]] - rate[f + AT[1]]) * (here[g + AT[1]] - here[h + AT[1]])
            + (rate[e + AT[2]] - rate[f + AT[2]]) * (here[g + AT[2]] - here[h + AT[2]])
        )


@compiled_inline
def _flow_body(table: Table, block: Block, motion: BlockFlow, body: Place) -> None:
    """Rates of one body, those of its parent known."""
    rate, velocity = motion.bodies, motion.velocity
    kind, j, own = table.body[body, BODY_KIND], table.body[body, MOVED_BY], table.body[body, TURN_AND_SHIFT]
    if kind == FREE:
        motion.moves[body] = 0
        for i in range(np.uintp(6)):
            if any_lane(velocity, j + i * LANES):
                motion.moves[body] = 1
        for i in range(np.uintp(3) * LANES):
            rate[own + AT[3] + i] = velocity[j + i]
            rate[own + i] = velocity[j + AT[3] + i]
        return
    parent = table.body[body, ABOVE] // np.uintp(15) // LANES
    moved = motion.moves[parent]
    if kind != FIXED and any_lane(velocity, j):
        moved = np.uintp(1)
    motion.moves[body] = moved
    if moved == 0:
        for i in range(np.uintp(6) * LANES):
            rate[own + i] = 0.0
        return
    _carried_along(table, block, rate, body)
    if kind == FIXED:
        return
    stand = block.stand
    moving = own if kind == HINGE else own + AT[3]
    o = table.body[body, OWN] + AT[12]
    for lane in range(LANES):
        rate[moving + lane] += stand[o + lane] * velocity[j + lane]
        rate[moving + AT[1] + lane] += stand[o + AT[1] + lane] * velocity[j + lane]
        rate[moving + AT[2] + lane] += stand[o + AT[2] + lane] * velocity[j + lane]


@compiled_inline
def _carried_along(table: Table, block: Block, rate: Array, body: Place) -> None:
    """Rates of a body that is held by its parent."""
    stand = block.stand
    own, above = table.body[body, OWN], table.body[body, ABOVE]
    to = table.body[body, TURN_AND_SHIFT]
    source = above // np.uintp(15) * np.uintp(6)
    for lane in range(LANES):
        o, p, s, t = own + lane, above + lane, source + lane, to + lane
        x, y, z = (
            stand[o + AT[9]] - stand[p + AT[9]],
            stand[o + AT[10]] - stand[p + AT[10]],
            stand[o + AT[11]] - stand[p + AT[11]],
        )
        u, v, w = rate[s], rate[s + AT[1]], rate[s + AT[2]]
        rate[t], rate[t + AT[1]], rate[t + AT[2]] = u, v, w
        rate[t + AT[3]] = rate[s + AT[3]] + v * z - w * y
        rate[t + AT[4]] = rate[s + AT[4]] + w * x - u * z
        rate[t + AT[5]] = rate[s + AT[5]] + u * y - v * x


@compiled_inline
def _flow_vector(table: Table, block: Block, motion: BlockFlow, number: Place) -> None:
    """Rate of one base vector."""
    stand, here, rate, result = block.stand, block.carried, motion.bodies, motion.carried
    carrier, place, body = (
        table.base[number, CARRIER],
        table.base[number, CARRIED],
        table.base[number, CARRIER_RATE],
    )
    point = table.local[number, 3]
    for lane in range(LANES):
        o, c, r = carrier + lane, place + lane, body + lane
        x = here[c] - point * stand[o + AT[9]]
        y = here[c + AT[1]] - point * stand[o + AT[10]]
        z = here[c + AT[2]] - point * stand[o + AT[11]]
        u, v, w = rate[r], rate[r + AT[1]], rate[r + AT[2]]
        result[c] = v * z - w * y + point * rate[r + AT[3]]
        result[c + AT[1]] = w * x - u * z + point * rate[r + AT[4]]
        result[c + AT[2]] = u * y - v * x + point * rate[r + AT[5]]


@compiled_inline
def _flow_product(table: Table, block: Block, motion: BlockFlow, number: Place) -> None:
    """Rate of one product."""
    here, rate, product, place = block.carried, motion.carried, motion.product, number * LANES
    a, b, c, d = (
        table.product[number, 0],
        table.product[number, 1],
        table.product[number, 2],
        table.product[number, 3],
    )
    for lane in range(LANES):
        e, f, g, h = a + lane, b + lane, c + lane, d + lane
        product[place + lane] = (
            (rate[e] - rate[f]) * (here[g] - here[h])
            + (rate[e + AT[1]] - rate[f + AT[1]]) * (here[g + AT[1]] - here[h + AT[1]])
            + (rate[e + AT[2]] - rate[f + AT[2]]) * (here[g + AT[2]] - here[h + AT[2]])
            + (here[e] - here[f]) * (rate[g] - rate[h])
            + (here[e + AT[1]] - here[f + AT[1]]) * (rate[g + AT[1]] - rate[h + AT[1]])
            + (here[e + AT[2]] - here[f + AT[2]]) * (rate[g + AT[2]] - rate[h + AT[2]])
        )


@compiled_inner
def set_block_rates(table: Table, block: Block, motion: BlockFlow, rate: Array, first: Place, apart: Place) -> None:
    """Rates of all measures in a motion that flows, slopes being set, written to ``rate[first + apart * row + lane]``."""
    flowing, slope = motion.product, block.slope
    for row in range(np.uintp(len(table.row))):
        kind, entry, end = table.row[row, ROW_KIND], table.row[row, ENTRY], table.row[row, ENTRIES_END]
        at = first + apart * row
        if kind == COORDINATE_SUM:
            sum_entries(table, motion.velocity, (entry, end), (rate, at))
            continue
        p, s = table.entry[entry], entry * LANES
        if kind == COMPONENT:
            for lane in range(LANES):
                rate[at + lane] = flowing[p + lane]
        elif kind == DISTANCE:
            for lane in range(LANES):
                rate[at + lane] = slope[s + lane] * flowing[p + lane]
        elif kind in (MEAN_COMPONENT, BEARING):
            q = table.entry[entry + np.uintp(1)]
            for lane in range(LANES):
                rate[at + lane] = slope[s + lane] * flowing[p + lane] + slope[s + AT[1] + lane] * flowing[q + lane]
        else:
            _tyre_rate(table, block, motion, entry, (rate, at))


@compiled_inline
def _tyre_rate(table: Table, block: Block, motion: BlockFlow, entry: Place, target: tuple[Array, Place]) -> None:
    rate, at = target
    flowing, slope, s = motion.product, block.slope, entry * LANES
    o, p, q, r = (
        table.entry[entry],
        table.entry[entry + np.uintp(1)],
        table.entry[entry + np.uintp(2)],
        table.entry[entry + np.uintp(3)],
    )
    for lane in range(LANES):
        rate[at + lane] = (
            flowing[o + lane]
            + slope[s + AT[1] + lane] * flowing[p + lane]
            + slope[s + AT[2] + lane] * flowing[q + lane]
            + slope[s + AT[3] + lane] * flowing[r + lane]
        )
