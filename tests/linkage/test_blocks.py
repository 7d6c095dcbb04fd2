"""The split of rows into blocks, beside SciPy's graph routines (matching, strongly connected components)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, maximum_bipartite_matching

from jounce.conventions.errors import Impossible
from jounce.linkage.blocks import split


def some_rows(size, seed):
    """Rows that depend on one coordinate each at random, none twice, and on a few others."""
    draw = np.random.default_rng(seed)
    pattern = draw.random((size, size)) < draw.uniform(0.02, 0.15)
    pattern[np.arange(size), draw.permutation(size)] = True
    return [frozenset(np.flatnonzero(row).tolist()) for row in pattern], pattern


@pytest.mark.parametrize("seed", range(25))
def test_blocks_are_the_rings_that_graph_routines_find(seed):
    size = 3 + 2 * seed
    depends, pattern = some_rows(size, seed)
    match = maximum_bipartite_matching(csr_array(pattern.astype(int)), perm_type="column")
    count, label = connected_components(csr_array(pattern[:, match].astype(int)), connection="strong")

    blocks = split([str(row) for row in range(size)], depends)

    rings = {frozenset(np.flatnonzero(label == ring).tolist()) for ring in range(count)}
    assert {frozenset(map(int, names)) for names in blocks.names} == rings


@pytest.mark.parametrize("seed", range(0, 25, 4))
def test_each_row_finds_what_it_depends_on_solved_in_its_own_block_or_an_earlier_one(seed):
    size = 3 + 2 * seed
    depends, _ = some_rows(size, seed)

    plan = split([str(row) for row in range(size)], depends).plan

    assert sorted(plan.row) == sorted(plan.coordinate) == list(range(size))
    block_of = np.repeat(np.arange(len(plan.start) - 1), np.diff(plan.start))
    for position, row in enumerate(plan.row):
        needed = {int(plan.column[coordinate]) for coordinate in depends[row]}
        assert max(block_of[list(needed)]) <= block_of[position]
        earlier = set(plan.earlier[plan.earlier_start[position] : plan.earlier_start[position + 1]].tolist())
        assert earlier == {other for other in needed if block_of[other] < block_of[position]}


def test_rows_that_share_too_few_coordinates_are_named():
    with pytest.raises(Impossible, match=r"nothing is left that could be moved to satisfy third\."):
        split(["first", "second", "third"], [frozenset({0, 1}), frozenset({0, 1}), frozenset({0, 1})])
