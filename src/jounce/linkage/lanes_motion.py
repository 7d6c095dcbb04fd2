"""Where bodies come to when their coordinates change: compiled, a block of states at a time (see `lanes`, `motion`)."""

from __future__ import annotations

import numpy as np

from jounce.linkage.lanes import (
    ABOVE,
    AT,
    BODY_KIND,
    CARRIED,
    CARRIER,
    LANES,
    MOVED_BY,
    OWN,
    TIED,
    Block,
    Place,
    Table,
)
from jounce.linkage.motion import FIXED, FREE, HINGE, SLIDE
from jounce.linkage.program import AXIS, OFFSET
from jounce.linkage.state import State
from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled_inline, compiled_inner

FARTHEST_TURN = 2.0
"""Largest turn [rad] that a block works out to rounding."""


@compiled_inner
def load_block(table: Table, block: Block, states: IntArray, where: tuple[Array, Array, Array]) -> None:
    """Put states of a batch into the lanes, and carry everything.

    Args:
        table: places
        block: where they go
        states: which state goes to each lane, shape (lanes,)
        where: rotations (states, bodies, 9), origins, coordinates

    """
    for lane in range(LANES):
        load_lane(table, block, lane, np.uintp(states[lane]), where)
    for body in range(np.uintp(1), np.uintp(len(table.body))):
        if table.body[body, BODY_KIND] in (HINGE, SLIDE):
            _aim_axis(table, block, body)
    carry_block(table, block)


@compiled_inner
def load_lane(table: Table, block: Block, lane: Place, index: Place, where: tuple[Array, Array, Array]) -> None:
    """Put one state of a batch into a lane; axes and what bodies carry are left alone."""
    rotation, origin, coordinate = where
    for body in range(np.uintp(1), np.uintp(len(table.body))):
        own = table.body[body, OWN] + lane
        for i in range(np.uintp(9)):
            block.stand[own + i * LANES] = rotation[index, body, i]
        for i in range(np.uintp(3)):
            block.stand[own + AT[9] + i * LANES] = origin[index, body, i]
    for j in range(np.uintp(coordinate.shape[1])):
        block.coordinate[j * LANES + lane] = coordinate[index, j]


@compiled_inner
def load_state(block: Block, lane: Place, state: State) -> None:
    """Put a single state into a lane."""
    for body in range(np.uintp(len(state.stand))):
        for i in range(np.uintp(15)):
            block.stand[(np.uintp(15) * body + i) * LANES + lane] = state.stand[body, i]
    for j in range(np.uintp(len(state.coordinate))):
        block.coordinate[j * LANES + lane] = state.coordinate[j]


@compiled_inner
def save_lane(table: Table, block: Block, lane: Place, index: Place, where: tuple[Array, Array, Array]) -> None:
    """Write a lane into a batch."""
    rotation, origin, coordinate = where
    for body in range(np.uintp(len(table.body))):
        own = table.body[body, OWN] + lane
        for i in range(np.uintp(9)):
            rotation[index, body, i] = block.stand[own + i * LANES]
        for i in range(np.uintp(3)):
            origin[index, body, i] = block.stand[own + AT[9] + i * LANES]
    for j in range(np.uintp(coordinate.shape[1])):
        coordinate[index, j] = block.coordinate[j * LANES + lane]


@compiled_inner
def move_block(table: Table, block: Block, increment: Array) -> None:
    """Change all coordinates by increments, shape (coordinates * lanes,), and take along what bodies carry."""
    stand = block.stand
    for body in range(np.uintp(1), np.uintp(len(table.body))):
        kind, own, j = table.body[body, BODY_KIND], table.body[body, OWN], table.body[body, MOVED_BY]
        if kind == FREE:
            for lane in range(LANES):
                stand[own + AT[9] + lane] += increment[j + lane]
                stand[own + AT[10] + lane] += increment[j + AT[1] + lane]
                stand[own + AT[11] + lane] += increment[j + AT[2] + lane]
            _turn_free(stand, own, increment, j)
            continue
        if kind != FIXED:
            if table.body[body, TIED] and not any_lane(increment, j):
                continue  # it stays where it is
            for lane in range(LANES):
                block.coordinate[j + lane] += increment[j + lane]
        _hang(table, block, body)
        if kind == HINGE:
            _turn_hinge(stand, own, block.coordinate, j)
        elif kind == SLIDE:
            _slide(stand, own, block.coordinate, j)
    carry_block(table, block)


@compiled_inline
def any_lane(array: Array, place: Place) -> bool:
    """Whether a quantity is other than zero in any lane."""
    for lane in range(LANES):  # noqa: SIM110 - the compiler knows loops
        if array[place + lane] != 0.0:
            return True
    return False


@compiled_inline
def _hang(table: Table, block: Block, body: Place) -> None:
    """Place a body as it hangs on its parent, without a hinge's own turning or a slide's own shift."""
    own, above, stand = table.body[body, OWN], table.body[body, ABOVE], block.stand
    o = np.uintp(OFFSET)
    x, y, z = table.frame[body, o], table.frame[body, o + np.uintp(1)], table.frame[body, o + np.uintp(2)]
    _aim_axis(table, block, body)
    for i in range(np.uintp(9)):
        for lane in range(LANES):
            stand[own + i * LANES + lane] = stand[above + i * LANES + lane]
    for lane in range(LANES):
        a = above + lane
        stand[own + AT[9] + lane] = (
            stand[a + AT[9]] + stand[a + AT[0]] * x + stand[a + AT[1]] * y + stand[a + AT[2]] * z
        )
        stand[own + AT[10] + lane] = (
            stand[a + AT[10]] + stand[a + AT[3]] * x + stand[a + AT[4]] * y + stand[a + AT[5]] * z
        )
        stand[own + AT[11] + lane] = (
            stand[a + AT[11]] + stand[a + AT[6]] * x + stand[a + AT[7]] * y + stand[a + AT[8]] * z
        )


@compiled_inline
def _aim_axis(table: Table, block: Block, body: Place) -> None:
    """Point a hinge's or slide's axis as its parent stands."""
    own, above, stand = table.body[body, OWN], table.body[body, ABOVE], block.stand
    o = np.uintp(AXIS)
    x, y, z = table.frame[body, o], table.frame[body, o + np.uintp(1)], table.frame[body, o + np.uintp(2)]
    for lane in range(LANES):
        a = above + lane
        stand[own + AT[12] + lane] = stand[a + AT[0]] * x + stand[a + AT[1]] * y + stand[a + AT[2]] * z
        stand[own + AT[13] + lane] = stand[a + AT[3]] * x + stand[a + AT[4]] * y + stand[a + AT[5]] * z
        stand[own + AT[14] + lane] = stand[a + AT[6]] * x + stand[a + AT[7]] * y + stand[a + AT[8]] * z


@compiled_inline
def _slide(stand: Array, own: Place, coordinate: Array, j: Place) -> None:
    """Shift a body along its axis by its whole coordinate."""
    for lane in range(LANES):
        stand[own + AT[9] + lane] += stand[own + AT[12] + lane] * coordinate[j + lane]
        stand[own + AT[10] + lane] += stand[own + AT[13] + lane] * coordinate[j + lane]
        stand[own + AT[11] + lane] += stand[own + AT[14] + lane] * coordinate[j + lane]


@compiled_inline
def _turn_hinge(stand: Array, own: Place, coordinate: Array, j: Place) -> None:
    """Turn a body round its axis by its whole coordinate."""
    for lane in range(LANES):
        q, o = coordinate[j + lane], own + lane
        x, y, z = stand[o + AT[12]] * q, stand[o + AT[13]] * q, stand[o + AT[14]] * q
        a, b = _series(x * x + y * y + z * z)
        _turn(stand, o, (x, y, z), (a, b))


@compiled_inline
def _turn_free(stand: Array, own: Place, increment: Array, j: Place) -> None:
    """Turn a body by a rotation vector in the ground's axes."""
    for lane in range(LANES):
        i = j + lane
        x, y, z = increment[i + AT[3]], increment[i + AT[4]], increment[i + AT[5]]
        a, b = _series(x * x + y * y + z * z)
        _turn(stand, own + lane, (x, y, z), (a, b))


@compiled_inline
def _turn(stand: Array, o: Place, vector: tuple[float, float, float], factors: tuple[float, float]) -> None:
    """Turn one lane of a body (Rodrigues' rotation formula)."""
    x, y, z = vector
    a, b = factors
    for k in range(np.uintp(3)):
        c = o + k * LANES
        u, v, w = stand[c], stand[c + AT[3]], stand[c + AT[6]]
        p, q, r = y * w - z * v, z * u - x * w, x * v - y * u
        stand[c] = u + a * p + b * (y * r - z * q)
        stand[c + AT[3]] = v + a * q + b * (z * p - x * r)
        stand[c + AT[6]] = w + a * r + b * (x * q - y * p)


@compiled_inline
def _series(square: float) -> tuple[float, float]:
    """``sin(t)/t`` and ``(1 - cos t)/t²`` of the angle squared, up to `FARTHEST_TURN`.

    Without a branch, so that all lanes go on together: the series of a quarter of the angle, doubled twice by
    ``sin 2h / 2h = (sin h / h) cos h`` and ``(1 - cos 2h) / (2h)² = (sin h / h)² / 2``.
    """
    s = 0.0625 * square
    a = 1 - s * (1 / 42) * (1 - s * (1 / 72) * (1 - s * (1 / 110) * (1 - s * (1 / 156) * (1 - s * (1 / 210)))))
    a = 1 - s * (1 / 6) * (1 - s * (1 / 20) * a)
    b = 1 - s * (1 / 56) * (1 - s * (1 / 90) * (1 - s * (1 / 132) * (1 - s * (1 / 182) * (1 - s * (1 / 240)))))
    b = 0.5 - s * (1 / 24) * (1 - s * (1 / 30) * b)
    a, b = a * (1 - s * b), 0.5 * a * a
    return a * (1 - 4 * s * b), 0.5 * a * a


@compiled_inner
def straighten_block(table: Table, block: Block) -> None:
    """Take the rounding of many small turns out of free bodies' rotations, see `motion.straighten`."""
    r = block.stand
    for body in range(np.uintp(1), np.uintp(len(table.body))):
        if table.body[body, BODY_KIND] != FREE:
            continue
        for lane in range(LANES):
            o = table.body[body, OWN] + lane
            a, b, c = r[o + AT[0]], r[o + AT[1]], r[o + AT[2]]
            d, e, f = r[o + AT[3]], r[o + AT[4]], r[o + AT[5]]
            g, h, i = r[o + AT[6]], r[o + AT[7]], r[o + AT[8]]
            xx, yy = 0.5 * (1 - a * a - d * d - g * g), 0.5 * (1 - b * b - e * e - h * h)
            zz, xy = 0.5 * (1 - c * c - f * f - i * i), -0.5 * (a * b + d * e + g * h)
            xz, yz = -0.5 * (a * c + d * f + g * i), -0.5 * (b * c + e * f + h * i)
            r[o + AT[0]], r[o + AT[1]], r[o + AT[2]] = _straightened((a, b, c), (xx, yy, zz), (xy, xz, yz))
            r[o + AT[3]], r[o + AT[4]], r[o + AT[5]] = _straightened((d, e, f), (xx, yy, zz), (xy, xz, yz))
            r[o + AT[6]], r[o + AT[7]], r[o + AT[8]] = _straightened((g, h, i), (xx, yy, zz), (xy, xz, yz))


Triple = tuple[float, float, float]


@compiled_inline
def _straightened(row: Triple, same: Triple, mixed: Triple) -> Triple:
    """A row of the rotation matrix times ``I - (RᵀR - I) / 2``."""
    u, v, w = row
    return (
        u + u * same[0] + v * mixed[0] + w * mixed[1],
        v + u * mixed[0] + v * same[1] + w * mixed[2],
        w + u * mixed[1] + v * mixed[2] + w * same[2],
    )


@compiled_inner
def carry_block(table: Table, block: Block) -> None:
    """Work out all base vectors of bodies that stand; those of the ground stay as they are."""
    stand, carried = block.stand, block.carried
    for number in range(np.uintp(len(table.base))):
        body, place = table.base[number, CARRIER], table.base[number, CARRIED]
        x, y, z, point = (
            table.local[number, 0],
            table.local[number, 1],
            table.local[number, 2],
            table.local[number, 3],
        )
        for lane in range(LANES):
            b, c = body + lane, place + lane
            carried[c] = stand[b + AT[0]] * x + stand[b + AT[1]] * y + stand[b + AT[2]] * z + point * stand[b + AT[9]]
            carried[c + AT[1]] = (
                stand[b + AT[3]] * x + stand[b + AT[4]] * y + stand[b + AT[5]] * z + point * stand[b + AT[10]]
            )
            carried[c + AT[2]] = (
                stand[b + AT[6]] * x + stand[b + AT[7]] * y + stand[b + AT[8]] * z + point * stand[b + AT[11]]
            )
