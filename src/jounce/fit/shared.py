"""What readings of one kind share: floor and tape zero, the zero of a gauge, the spread of scales.

A height that is read ten times by one tape on one floor is not known ten times over: where the floor slopes, the tape
begins or the edge of the arch is taken, is the same each time, and so is the pressure of the tyres. So each kind of
reading that has a zero of its own errs by one offset in common, left and right, front and rear. Its share of the
variance of a single reading stands with the kind (`jounce.fit.kinds`), common practice, no source; the ± of one reading
alone is as typed.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jounce.fit.readings import GarageReading
from jounce.numerics.arrays import Array

__all__ = ["read_together", "sharing_kinds"]


def sharing_kinds(readings: Sequence[GarageReading]) -> tuple[str, ...]:
    """Words of the kinds whose readings share an error, in the order in which they were read first.

    Args:
        readings: what was read
    """
    return tuple(dict.fromkeys(one.at.what for one in readings if one.at.kind.together))


def read_together(readings: Sequence[GarageReading]) -> tuple[Array, Array]:
    """What errs in each reading alone, and what one deviation of each kind's offset adds to it.

    Args:
        readings: what was read

    Returns:
        Standard deviations (readings,), and offsets (readings, kinds) in the order of `sharing_kinds` [SI]
    """
    kinds = sharing_kinds(readings)
    alone = np.array([one.deviation * (1 - one.at.kind.together) ** 0.5 for one in readings])
    shared = np.zeros((len(readings), len(kinds)))
    for k, one in enumerate(readings):
        if one.at.what in kinds:
            shared[k, kinds.index(one.at.what)] = one.deviation * one.at.kind.together**0.5
    return alone, shared
