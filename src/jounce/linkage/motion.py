"""Where bodies come to when their coordinates change: compiled, in all lanes (see `states`)."""

from __future__ import annotations

import numpy as np

from jounce.linkage.states import BODY_SIZE, ORIGIN, TURNED_AXIS, States, any_lane, axis_of, origin_of, width
from jounce.linkage.tables import AXIS, BODY, FIRST, FREEDOM, IS_POINT, OFFSET, PARENT, Tables
from jounce.linkage.tree import Freedom
from jounce.linkage.triples import Place, Triple, cross, dot, fixed, plus, put_three, three, times
from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled_inline, compiled_inner

FIXED, HINGE, SLIDE, FREE = (freedom.value for freedom in (Freedom.FIXED, Freedom.HINGE, Freedom.SLIDE, Freedom.FREE))

FARTHEST_TURN = 2.0
"""Largest turn [rad] that states side by side work out to rounding; one alone has no such limit."""


@compiled_inner
def move(tables: Tables, variant: Place, states: States, increment: Array) -> None:
    """Change all coordinates by increments [m or rad], and take along what bodies carry."""
    tree, apart = tables.tree, width(states.lanes)
    for body in range(np.uintp(1), np.uintp(len(tree))):
        kind, j = tree[body, FREEDOM], tree[body, FIRST] * apart
        if kind == FREE:
            _move_free(states, body, increment, j)
            continue
        if kind != FIXED:
            if tree[body, PARENT] == 0 and not any_lane(increment, j, apart):
                continue  # it stays where it is
            for lane in range(apart):
                states.coordinate[j + lane] += increment[j + lane]
        _hang(tables, variant, states, body)
    carry(tables, variant, states)


@compiled_inner
def hang_all(tables: Tables, variant: Place, states: States) -> None:
    """Hang every body on its parent anew: what its own frame carries besides real numbers reaches the states."""
    for body in range(np.uintp(1), np.uintp(len(tables.tree))):
        if tables.tree[body, FREEDOM] != FREE:
            _hang(tables, variant, states, body)
    carry(tables, variant, states)


@compiled_inline
def _move_free(states: States, body: Place, increment: Array, j: Place) -> None:
    """Shift a free body, and turn it by a rotation vector, both in the ground's axes."""
    bodies, apart = states.bodies, width(states.lanes)
    origin = (BODY_SIZE * body + ORIGIN) * apart
    for lane in range(apart):
        shift = three(increment, j + lane, apart)
        put_three(bodies, origin + lane, apart, plus(three(bodies, origin + lane, apart), shift))
    for lane in range(apart):
        _turn(states, body, lane, three(increment, j + np.uintp(3) * apart + lane, apart))


@compiled_inline
def _hang(tables: Tables, variant: Place, states: States, body: Place) -> None:
    """Place a body as it hangs on its parent, turned round or shifted along its axis by its whole coordinate."""
    kind, j = tables.tree[body, FREEDOM], tables.tree[body, FIRST]
    bodies, apart = states.bodies, width(states.lanes)
    own, above = BODY_SIZE * apart * body, BODY_SIZE * apart * tables.tree[body, PARENT]
    offset = fixed(tables.frame, variant, body, np.uintp(OFFSET))
    aim_axis(tables, variant, states, body)
    for i in range(ORIGIN):
        for lane in range(apart):
            bodies[own + i * apart + lane] = bodies[above + i * apart + lane]
    for lane in range(apart):
        origin = plus(three(bodies, above + ORIGIN * apart + lane, apart), turned(bodies, above + lane, apart, offset))
        put_three(bodies, own + ORIGIN * apart + lane, apart, origin)
    if kind == HINGE:
        for lane in range(apart):
            _turn(states, body, lane, times(states.coordinate[j * apart + lane], axis_of(states, body, lane)))
    elif kind == SLIDE:
        for lane in range(apart):
            shift = times(states.coordinate[j * apart + lane], axis_of(states, body, lane))
            put_three(bodies, own + ORIGIN * apart + lane, apart, plus(origin_of(states, body, lane), shift))


@compiled_inline
def turned(bodies: Array, place: Place, apart: Place, vector: Triple) -> Triple:
    """A vector turned by the rotation matrix that begins at a place."""
    row = np.uintp(3) * apart
    return (
        dot(three(bodies, place, apart), vector),
        dot(three(bodies, place + row, apart), vector),
        dot(three(bodies, place + row + row, apart), vector),
    )


@compiled_inline
def aim_axis(tables: Tables, variant: Place, states: States, body: Place) -> None:
    """Point a hinge's or slide's axis as its parent stands."""
    apart = width(states.lanes)
    own, above = BODY_SIZE * apart * body, BODY_SIZE * apart * tables.tree[body, PARENT]
    axis = fixed(tables.frame, variant, body, np.uintp(AXIS))
    for lane in range(apart):
        aimed = turned(states.bodies, above + lane, apart, axis)
        put_three(states.bodies, own + TURNED_AXIS * apart + lane, apart, aimed)


@compiled_inline
def _turn(states: States, body: Place, lane: Place, vector: Triple) -> None:
    """Turn one lane of a body by a rotation vector in the ground's axes [rad] (Rodrigues' rotation formula)."""
    bodies, apart = states.bodies, width(states.lanes)
    row, square = np.uintp(3) * apart, dot(vector, vector)
    a, b = _turn_factors(square)
    if len(states.lanes) == 1 and square.real > FARTHEST_TURN * FARTHEST_TURN:
        angle = np.sqrt(square)
        a, b = np.sin(angle) / angle, (1 - np.cos(angle)) / square
    for k in range(np.uintp(3)):
        place = BODY_SIZE * apart * body + k * apart + lane
        column = three(bodies, place, row)
        once = cross(vector, column)
        twice = cross(vector, once)
        put_three(bodies, place, row, plus(column, plus(times(a, once), times(b, twice))))


@compiled_inline
def _turn_factors(square: float) -> tuple[float, float]:
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
def straighten(tables: Tables, states: States) -> None:
    """Take the rounding of many small turns out of free bodies' rotations: ``R - R (RᵀR - I) / 2``."""
    r, apart = states.bodies, width(states.lanes)
    row = np.uintp(3) * apart
    for body in range(np.uintp(1), np.uintp(len(tables.tree))):
        if tables.tree[body, FREEDOM] != FREE:
            continue
        for lane in range(apart):
            own = BODY_SIZE * apart * body + lane
            x, y, z = three(r, own, row), three(r, own + apart, row), three(r, own + apart + apart, row)
            xy, xz, yz = -0.5 * dot(x, y), -0.5 * dot(x, z), -0.5 * dot(y, z)
            xx, yy, zz = 0.5 * (1 - dot(x, x)), 0.5 * (1 - dot(y, y)), 0.5 * (1 - dot(z, z))
            put_three(r, own, row, plus(x, _mixed((x, y, z), (xx, xy, xz))))
            put_three(r, own + apart, row, plus(y, _mixed((x, y, z), (xy, yy, yz))))
            put_three(r, own + apart + apart, row, plus(z, _mixed((x, y, z), (xz, yz, zz))))


@compiled_inline
def _mixed(columns: tuple[Triple, Triple, Triple], shares: Triple) -> Triple:
    """Shares of three columns together."""
    return plus(times(shares[0], columns[0]), plus(times(shares[1], columns[1]), times(shares[2], columns[2])))


@compiled_inner
def carry(tables: Tables, variant: Place, states: States) -> None:
    """Work out all base vectors of bodies that stand; those of the ground stay as they are."""
    bodies, carried, apart = states.bodies, states.carried, width(states.lanes)
    for number in range(np.uintp(len(tables.base))):
        body = tables.base[number, BODY]
        if body == 0:
            continue
        point = 1.0 if tables.base[number, IS_POINT] else 0.0
        local = fixed(tables.local, variant, number, np.uintp(0))
        own, place = BODY_SIZE * apart * body, np.uintp(3) * apart * number
        for lane in range(apart):
            arm = turned(bodies, own + lane, apart, local)
            origin = times(point, three(bodies, own + ORIGIN * apart + lane, apart))
            put_three(carried, place + lane, apart, plus(arm, origin))


@compiled_inner
def aim_and_carry(tables: Tables, variant: Place, states: States) -> None:
    """Add to bodies that have been put somewhere how their axes point, and what they carry."""
    for body in range(np.uintp(1), np.uintp(len(tables.tree))):
        if tables.tree[body, FREEDOM] in (HINGE, SLIDE):
            aim_axis(tables, variant, states, body)
    carry(tables, variant, states)
