"""Where bodies come to when their coordinates change: compiled, one state at a time."""

from __future__ import annotations

import numpy as np

from jounce.linkage.program import AXIS, BODY, FIRST, FREEDOM, IS_POINT, OFFSET, PARENT, REFERENCE, Program
from jounce.linkage.state import ORIGIN, TURNED_AXIS, State
from jounce.linkage.tree import Freedom
from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled_inline, compiled_inner

FIXED, HINGE, SLIDE, FREE = (freedom.value for freedom in (Freedom.FIXED, Freedom.HINGE, Freedom.SLIDE, Freedom.FREE))

_SERIES_BELOW = 1e-4  # below this angle squared the series is exact to rounding and avoids 0/0
_LONG_SERIES_BELOW = 0.25  # the same for the longer one


@compiled_inner
def as_found(program: Program, variant: int, state: State) -> None:
    """Put all bodies where they are in the reference pose."""
    for j in range(len(state.coordinate)):
        state.coordinate[j] = 0.0
    for body in range(len(program.tree)):
        for i in range(9):
            state.stand[body, i] = 1.0 if i % 4 == 0 else 0.0
        for i in range(3):
            state.stand[body, ORIGIN + i] = program.frame[variant, body, REFERENCE + i]
            state.stand[body, TURNED_AXIS + i] = program.frame[variant, body, AXIS + i]


@compiled_inner
def move(program: Program, variant: int, state: State, increment: Array) -> None:
    """Change all coordinates by increments, shape (coordinates,) [m or rad], and take along what bodies carry."""
    tree, stand = program.tree, state.stand
    for body in range(1, len(tree)):
        kind, j = tree[body, FREEDOM], tree[body, FIRST]
        if kind == FREE:
            for i in range(3):
                stand[body, ORIGIN + i] += increment[j + i]
            x, y, z = increment[j + 3], increment[j + 4], increment[j + 5]
        else:
            if kind != FIXED:
                if increment[j] == 0.0 and tree[body, PARENT] == 0:
                    continue  # it stays where it is
                state.coordinate[j] += increment[j]
            _hang(program, variant, state, body)
            if kind != HINGE:
                continue
            q, axis = state.coordinate[j], TURNED_AXIS
            x, y, z = stand[body, axis] * q, stand[body, axis + 1] * q, stand[body, axis + 2] * q
        _turn(stand, body, x, y, z)
    carry(program, variant, state)


@compiled_inner
def hang_all(program: Program, variant: int, state: State) -> None:
    """Hang every body on its parent anew: what its own frame carries besides real numbers reaches the state."""
    stand, axis = state.stand, TURNED_AXIS
    for body in range(1, len(program.tree)):
        kind = program.tree[body, FREEDOM]
        if kind == FREE:
            continue
        _hang(program, variant, state, body)
        if kind == HINGE:
            q = state.coordinate[program.tree[body, FIRST]]
            _turn(stand, body, stand[body, axis] * q, stand[body, axis + 1] * q, stand[body, axis + 2] * q)
    carry(program, variant, state)


@compiled_inline
def _hang(program: Program, variant: int, state: State, body: int) -> None:
    """Place a body as it hangs on its parent, without a hinge's own turning."""
    tree, stand, frame = program.tree, state.stand, program.frame
    parent = tree[body, PARENT]
    aim_axis(program, variant, state, body)
    for i in range(3):
        stand[body, ORIGIN + i] = stand[parent, ORIGIN + i]
        for k in range(3):
            stand[body, 3 * i + k] = stand[parent, 3 * i + k]
            stand[body, ORIGIN + i] += stand[parent, 3 * i + k] * frame[variant, body, OFFSET + k]
    if tree[body, FREEDOM] == SLIDE:
        for i in range(3):
            stand[body, ORIGIN + i] += stand[body, TURNED_AXIS + i] * state.coordinate[tree[body, FIRST]]


@compiled_inline
def aim_axis(program: Program, variant: int, state: State, body: int) -> None:
    """Point a hinge's or slide's axis as its parent stands."""
    stand, frame, parent = state.stand, program.frame, program.tree[body, PARENT]
    x, y, z = frame[variant, body, AXIS], frame[variant, body, AXIS + 1], frame[variant, body, AXIS + 2]
    for i in range(3):
        stand[body, TURNED_AXIS + i] = (
            stand[parent, 3 * i] * x + stand[parent, 3 * i + 1] * y + stand[parent, 3 * i + 2] * z
        )


@compiled_inline
def _turn(stand: Array, body: int, x: float, y: float, z: float) -> None:
    """Turn a body by a rotation vector in the ground's axes [rad] (Rodrigues' rotation formula)."""
    squared = x * x + y * y + z * z
    if squared.real < _SERIES_BELOW:
        a = 1 - squared * (1 / 6 - squared / 120)
        b = 0.5 - squared * (1 / 24 - squared / 720)
    elif squared.real < _LONG_SERIES_BELOW:
        a, b = _long_series(squared)
    else:
        angle = np.sqrt(squared)
        a = np.sin(angle) / angle
        b = (1 - np.cos(angle)) / squared
    for k in range(3):
        u, v, w = stand[body, k], stand[body, 3 + k], stand[body, 6 + k]
        p, q, r = y * w - z * v, z * u - x * w, x * v - y * u
        stand[body, k] = u + a * p + b * (y * r - z * q)
        stand[body, 3 + k] = v + a * q + b * (z * p - x * r)
        stand[body, 6 + k] = w + a * r + b * (x * q - y * p)


@compiled_inline
def _long_series(s: float) -> tuple[float, float]:
    """``sin(t)/t`` and ``(1 - cos t)/t²`` of the angle squared, in a third of the time of the functions themselves."""
    a = 1 - s * (1 / 110) * (1 - s * (1 / 156) * (1 - s * (1 / 210) * (1 - s * (1 / 272))))
    a = 1 - s * (1 / 6) * (1 - s * (1 / 20) * (1 - s * (1 / 42) * (1 - s * (1 / 72) * a)))
    b = 1 - s * (1 / 132) * (1 - s * (1 / 182) * (1 - s * (1 / 240) * (1 - s * (1 / 306))))
    b = 1 - s * (1 / 12) * (1 - s * (1 / 30) * (1 - s * (1 / 56) * (1 - s * (1 / 90) * b)))
    return a, 0.5 * b


@compiled_inner
def straighten(program: Program, state: State) -> None:
    """Take the rounding of many small turns out of free bodies' rotations: ``R - R (RᵀR - I) / 2``."""
    r = state.stand
    for body in range(1, len(program.tree)):
        if program.tree[body, FREEDOM] != FREE:
            continue
        xx = 0.5 * (1 - r[body, 0] * r[body, 0] - r[body, 3] * r[body, 3] - r[body, 6] * r[body, 6])
        yy = 0.5 * (1 - r[body, 1] * r[body, 1] - r[body, 4] * r[body, 4] - r[body, 7] * r[body, 7])
        zz = 0.5 * (1 - r[body, 2] * r[body, 2] - r[body, 5] * r[body, 5] - r[body, 8] * r[body, 8])
        xy = -0.5 * (r[body, 0] * r[body, 1] + r[body, 3] * r[body, 4] + r[body, 6] * r[body, 7])
        xz = -0.5 * (r[body, 0] * r[body, 2] + r[body, 3] * r[body, 5] + r[body, 6] * r[body, 8])
        yz = -0.5 * (r[body, 1] * r[body, 2] + r[body, 4] * r[body, 5] + r[body, 7] * r[body, 8])
        for i in range(0, 9, 3):
            u, v, w = r[body, i], r[body, i + 1], r[body, i + 2]
            r[body, i] = u + u * xx + v * xy + w * xz
            r[body, i + 1] = v + u * xy + v * yy + w * yz
            r[body, i + 2] = w + u * xz + v * yz + w * zz


@compiled_inner
def carry(program: Program, variant: int, state: State) -> None:
    """Work out all base vectors of a state whose bodies stand."""
    base, local, stand = program.base, program.local, state.stand
    for number in range(len(base)):
        body = base[number, BODY]
        x, y, z = local[variant, number, 0], local[variant, number, 1], local[variant, number, 2]
        for i in range(3):
            value = stand[body, 3 * i] * x + stand[body, 3 * i + 1] * y + stand[body, 3 * i + 2] * z
            if base[number, IS_POINT]:
                value += stand[body, ORIGIN + i]
            state.carried[number, i] = value


@compiled_inner
def stand_axes(program: Program, variant: int, state: State) -> None:
    """Point all hinges' and slides' axes as their parents stand."""
    for body in range(1, len(program.tree)):
        aim_axis(program, variant, state, body)
