"""The adjustment beside a general optimiser on the same sum, and its slopes beside differences."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from jounce.photographs.adjustment import Beforehand, adjusted, residuals, with_slopes
from jounce.photographs.net import GLOBAL, PER_PHOTO, PER_TILE, Ruler, Views
from jounce.photographs.starting import started
from tests.photographs.scene import corner, telephone, walk
from tests.photographs.shop import pictured

KNOWN = Beforehand((3000.0, 300.0))


@pytest.fixture(scope="module")
def small():
    """Four photographs of nine tiles, with their start."""
    scene, lens, rng = corner(), telephone(), np.random.default_rng(0)
    tiles = [scene.tile(number) for number in (0, 3, 5, 8, 16, 18, 62)]
    rows = [
        (photo, place, seen + rng.normal(0, 0.05, (4, 2)))
        for photo, stand in enumerate(walk(4))
        for place, tile in enumerate(tiles)
        if (seen := pictured(tile, stand, lens)) is not None
    ]
    views = Views(
        *(np.array([row[one] for row in rows]) for one in range(3)), np.array([one.side for one in tiles]), (4000, 3000)
    )
    start = started(views, np.array([2850.0, 1999.5, 1499.5, 0, 0, 0, 0, 0]))
    assert start.photos.all()
    assert start.tiles.all()
    return views, start.state, [Ruler((0, 2), scene.ruler, 0.3e-3)]


def test_every_slope_is_that_of_a_difference(small) -> None:
    """Fourth-order differences; each slope to 1e-7 of the largest of its column."""
    views, state, _ = small
    state = state.moved(np.random.default_rng(1).normal(0, 1e-3, state.unknowns))
    _, slopes = with_slopes(views, state)
    photos = GLOBAL + PER_PHOTO * views.photos
    view = 5
    for column in range(slopes.shape[-1]):
        if column < GLOBAL:
            place = column
        elif column < GLOBAL + PER_PHOTO:
            place = GLOBAL + PER_PHOTO * views.photo[view] + column - GLOBAL
        else:
            place = photos + PER_TILE * views.tile[view] + column - GLOBAL - PER_PHOTO
        step = np.zeros(state.unknowns)
        step[place] = 1.0 if column < 3 else 1e-4
        near, far = (
            residuals(views, state.moved(share * step))[view] - residuals(views, state.moved(-share * step))[view]
            for share in (1, 2)
        )
        by_difference = (8 * near - far) / (12 * step[place])
        size = max(1.0, np.abs(slopes[view, ..., column]).max())
        assert slopes[view, ..., column] / size == pytest.approx(by_difference / size, abs=1e-7), column


@pytest.mark.validation_slow
def test_a_general_optimiser_finds_the_same_place(small) -> None:
    """The same residuals, priors and ruler, each corner with the weight it has at our solution.

    Compared by what does not depend on the axes; the optimiser finds its slopes itself and starts elsewhere.
    """
    views, start, rulers = small
    found = adjusted(views, start, KNOWN, rulers)
    state, noise = found.state, found.noise
    deviation = np.concatenate([
        [KNOWN.focal[1], KNOWN.centre, KNOWN.centre, *KNOWN.bend, KNOWN.print_scale, KNOWN.print_scale],
    ])  # fmt: skip

    weight = 1 / np.sqrt(1 + np.sum(found.left**2, axis=-1) / (3 * noise) ** 2) / noise

    def all_left(step):
        here = state.moved(step * scale)
        before = (
            np.concatenate([here.lens, here.print_scale]) - [3000, 1999.5, 1499.5, 0, 0, 0, 0, 0, 1, 1]
        ) / deviation
        a, b = rulers[0].tiles
        rule = (np.linalg.norm(here.tile_centre[a] - here.tile_centre[b]) - rulers[0].length) / rulers[0].deviation
        own = here.own / np.array(KNOWN.own)
        paper = here.deviation / np.array(KNOWN.paper)
        return np.concatenate(
            [(residuals(views, here) * weight[..., None]).ravel(), before, own.ravel(), paper.ravel(), [rule]]
        )

    scale = np.ones(state.unknowns)
    scale[: GLOBAL + PER_PHOTO * views.photos] = np.concatenate(
        [[10, 10, 10, 0.1, 0.1, 0.01, 0.01, 0.1, 0.01, 0.01], *[[0.01] * 6 + [1, 0.01, 10, 10, 3, 3]] * views.photos]
    )
    scale[GLOBAL + PER_PHOTO * views.photos :] = np.concatenate([[0.01] * 6 + [1e-4] * 12] * len(views.sides))
    away = np.random.default_rng(5).normal(0, 0.01, state.unknowns)
    theirs = least_squares(all_left, away, xtol=1e-14, ftol=1e-14, gtol=1e-12, max_nfev=15)
    other = state.moved(theirs.x * scale)

    def apart(one):
        return np.linalg.norm(one.tile_centre[:, None] - one.tile_centre, axis=-1)

    assert 2 * theirs.cost == pytest.approx(np.sum(all_left(np.zeros(state.unknowns)) ** 2), rel=1e-6)
    assert apart(other) == pytest.approx(apart(state), abs=2e-6)
    assert other.lens[0] == pytest.approx(state.lens[0], abs=0.05)
