"""A square set of rows split into the smallest blocks that can be solved one after the other.

Which row depends on which coordinate is known from the linkage's structure alone. Rows are matched to coordinates, and
what then depends on each other in a ring is one block: a rack, each corner, each half of a roll bar.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from jounce.conventions.errors import Impossible
from jounce.numerics.arrays import IntArray


class Plan(NamedTuple):
    """In which order rows are solved for coordinates.

    Position i of the solution takes row ``row[i]`` and coordinate ``coordinate[i]``; coordinate j is at position
    ``column[j]``. Block b holds the positions ``start[b] .. start[b + 1]`` and depends on no later block; ``earlier``
    lists the positions in earlier blocks that a row depends on, those of position i at
    ``earlier_start[i] .. earlier_start[i + 1]``.
    """

    row: IntArray
    coordinate: IntArray
    column: IntArray
    start: IntArray
    earlier_start: IntArray
    earlier: IntArray


@dataclass(frozen=True, slots=True)
class Blocks:
    """The plan, and the names of each block's rows."""

    plan: Plan
    names: tuple[tuple[str, ...], ...]


def split(names: Sequence[str], depends: Sequence[frozenset[int]]) -> Blocks:
    """Split rows into blocks.

    Args:
        names: of the rows
        depends: the coordinates that each row depends on; as many coordinates as rows

    Returns:
        The blocks in an order in which each depends on earlier ones only

    Raises:
        Impossible: some rows cannot fix as many coordinates as they are

    """
    size = len(names)
    pattern = np.zeros((size, size), dtype=np.intp)
    for row, coordinates in enumerate(depends):
        pattern[row, list(coordinates)] = 1
    match = _matched(depends)
    if (match < 0).any():
        lost = ", ".join(names[row] for row in np.flatnonzero(match < 0).tolist())
        raise Impossible(f"The linkage cannot be placed: nothing is left that could be moved to satisfy {lost}.")
    needs = pattern[:, match]  # row depends on the row that its coordinate belongs to
    label, count = _rings(needs)
    order = _in_order(label, count, needs)
    members = [np.flatnonzero(label == block) for block in order]
    rows = np.concatenate(members).astype(np.intp)
    plan = _plan(rows, match, [len(m) for m in members], pattern)
    return Blocks(plan, tuple(tuple(names[row] for row in m.tolist()) for m in members))


def _matched(depends: Sequence[frozenset[int]]) -> IntArray:
    """A coordinate for each row, none twice; -1 for rows that get none (maximum matching by augmenting paths)."""
    owner: dict[int, int] = {}

    def takes(row: int, tried: set[int]) -> bool:
        """Whether the row gets a coordinate, if need be one whose row gets another."""
        for coordinate in depends[row]:
            if coordinate not in tried:
                tried.add(coordinate)
                if coordinate not in owner or takes(owner[coordinate], tried):
                    owner[coordinate] = row
                    return True
        return False

    match = np.full(len(depends), -1, dtype=np.intp)
    for row in range(len(depends)):
        takes(row, set())
    for coordinate, row in owner.items():
        match[row] = coordinate
    return match


def _rings(needs: IntArray) -> tuple[IntArray, int]:
    """The number of the ring that each row is in, and how many there are: rows that need each other, however far round.

    SciPy's graph routines do the same; reading them would make every start of the program a tenth longer.
    """
    reached = needs.astype(bool) | np.eye(len(needs), dtype=bool)
    while (further := reached @ reached).sum() > reached.sum():
        reached = further
    first = np.argmax(reached & reached.T, axis=1)  # the first row of each ring stands for it
    _, label = np.unique(first, return_inverse=True)
    return label.astype(np.intp), int(label.max(initial=-1)) + 1


def _in_order(label: IntArray, count: int, needs: IntArray) -> list[int]:
    """Blocks so that each comes after all that it needs."""
    after = np.zeros((count, count), dtype=bool)
    for row, other in np.argwhere(needs):
        after[label[row], label[other]] = label[row] != label[other]
    order: list[int] = []
    while len(order) < count:
        order += [b for b in range(count) if b not in order and not (set(np.flatnonzero(after[b])) - set(order))]
    return order


def _plan(rows: IntArray, match: IntArray, sizes: Sequence[int], pattern: IntArray) -> Plan:
    coordinate = match[rows]
    column = np.empty_like(coordinate)
    column[coordinate] = np.arange(len(rows))
    start = np.concatenate(([0], np.cumsum(sizes))).astype(np.intp)
    block = np.repeat(np.arange(len(sizes)), sizes)
    earlier = [
        [int(p) for p in np.flatnonzero(pattern[row, coordinate]) if block[p] < block[i]] for i, row in enumerate(rows)
    ]
    earlier_start = np.concatenate(([0], np.cumsum([len(e) for e in earlier]))).astype(np.intp)
    flat = np.array([p for e in earlier for p in e], dtype=np.intp)
    return Plan(rows, coordinate, column, start, earlier_start, flat)
