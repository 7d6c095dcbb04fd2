"""One state of a linkage, as compiled functions work on it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.linkage.kinds import MOST_PAIRS
from jounce.linkage.program import FIRST, SIZE, Program
from jounce.numerics.arrays import Array
from jounce.numerics.compiled import compiled, compiled_inner

ROTATION, ORIGIN, TURNED_AXIS = 0, 9, 12
"""Columns of `State.stand`: a body's rotation matrix (row after row), its origin, and its axis as its parent stands."""


class State(NamedTuple):
    """Where everything is: ``stand`` (bodies, 15), ``coordinate`` (coordinates,), ``carried`` (base vectors, 3).

    ``product`` and ``slope`` have room for one measure's products and first derivatives by them.
    """

    stand: Array
    coordinate: Array
    carried: Array
    product: Array
    slope: Array


@compiled
def new_state(program: Program) -> State:
    """Room for one state."""
    last, dtype = program.tree[len(program.tree) - 1], program.frame.dtype
    return State(
        np.zeros((len(program.tree), 15), dtype),
        np.zeros(last[FIRST] + last[SIZE], dtype),
        np.zeros((len(program.base), 3), dtype),
        np.zeros(MOST_PAIRS, dtype),
        np.zeros(MOST_PAIRS, dtype),
    )


@compiled_inner
def save(state: State, index: int, rotation: Array, origin: Array, coordinate: Array) -> None:
    """Write a state into a batch: rotations (states, bodies, 9), origins, coordinates."""
    for body in range(len(state.stand)):
        for i in range(9):
            rotation[index, body, i] = state.stand[body, ROTATION + i]
        for i in range(3):
            origin[index, body, i] = state.stand[body, ORIGIN + i]
    for j in range(len(state.coordinate)):
        coordinate[index, j] = state.coordinate[j]


@compiled_inner
def fetch(state: State, index: int, rotation: Array, origin: Array, coordinate: Array) -> None:
    """Read a state from a batch; what bodies carry and how axes stand is for `motion` to add."""
    for body in range(len(state.stand)):
        for i in range(9):
            state.stand[body, ROTATION + i] = rotation[index, body, i]
        for i in range(3):
            state.stand[body, ORIGIN + i] = origin[index, body, i]
    for j in range(len(state.coordinate)):
        state.coordinate[j] = coordinate[index, j]
