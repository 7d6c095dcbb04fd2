"""In which order states are placed, so that each finds a near one placed before it."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled

_BITS = 60  # of a state's number along the curve, shared by its drives
_MOST_BITS = 20  # of one drive: a millionth of its range tells two states apart


def along_drives(wanted: Array) -> IntArray:
    """States in the order of a curve that fills the space of their drives (Morton's order).

    A sweep along one line, however it is mixed, comes in its own order.

    Args:
        wanted: values of the drives, shape (states, drives) [m or rad]

    Returns:
        The states' numbers in order, shape (states,)

    """
    if len(wanted) < 3:
        return np.arange(len(wanted))
    low, high = wanted.min(axis=0), wanted.max(axis=0)
    moving = np.flatnonzero(high > low)
    if len(moving) == 0:
        return np.arange(len(wanted))
    bits = min(_MOST_BITS, _BITS // len(moving)) if len(moving) <= _BITS else 1
    moving = moving[: _BITS // bits]
    cells = (wanted[:, moving] - low[moving]) * ((2**bits - 1) / (high[moving] - low[moving]))
    return np.argsort(_curve(np.ascontiguousarray(cells, dtype=np.int64), bits), kind="stable")


@compiled
def _curve(cells: IntArray, bits: int) -> IntArray:
    """Number of each state along the curve: the bits of its cells taken in turn, the highest first."""
    number = np.zeros(len(cells), np.int64)
    for state in range(len(cells)):
        for bit in range(bits - 1, -1, -1):
            for drive in range(cells.shape[1]):
                number[state] = (number[state] << 1) | ((cells[state, drive] >> bit) & 1)
    return number
