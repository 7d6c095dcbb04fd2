"""Pairs judged by the compiled kernel: against whole arrays, in any blocks, in any order."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from jounce.search.goals import usual_goals
from jounce.search.pairs import Half, Judge, fineness_of, in_hand, judge_pairs, kept_of, merged, score_of
from jounce.search.roll_curves import ACROSS_AT, ROLLS
from tests.reference.pair_metrics import pair_metrics

FRONTS, REARS = 23, 31
GOALS = usual_goals()


def half(count, seed):
    """Axles that hold the body the more the stiffer they are; some states were not found, some wheels lift."""
    dice = np.random.default_rng(seed)
    stiff = dice.uniform(15e3, 60e3, (count, 1, 1, 1)) * dice.uniform(0.95, 1.05, (count, 2, 1, 1))
    across, roll = ACROSS_AT[:, None], ROLLS[None, None]
    bent = dice.uniform(0.0, 2e5, (count, 1, 1, 1))
    moment = -stiff * roll - bent * roll**3 + dice.uniform(50.0, 150.0, (count, 1, 1, 1)) * across
    moved = (stiff * roll + 150.0 * across) / 1.5
    load = 3000.0 + np.stack((-moved, moved), axis=2)
    moment[dice.random(moment.shape) < 0.002] = np.nan
    plain = (dice.uniform(*span, count) for span in ((1.3, 2.2), (0.03, 0.12), (0.0, 0.05)))
    price = np.round(dice.uniform(100, 900, count), -1)
    return Half(moment, np.ascontiguousarray(load), *plain, price)


@cache
def axles():
    return half(FRONTS, 1), half(REARS, 2)


def judge(kept=8, budget=1200.0):
    body = np.array([1.0, 1.0])[:, None, None] * (300.0 * ACROSS_AT[:, None] + 9e3 * ROLLS)
    return Judge(ROLLS, ACROSS_AT, body, np.array([[20.0, -10.0], [-20.0, 10.0]]), GOALS, budget, kept)


def everything():
    """Numbers, score, fineness and price of every pair, by whole arrays."""
    front, rear = axles()
    numbers = pair_metrics(front, rear, judge())
    price = (front.price[:, None] + rear.price).ravel()
    score = np.where(price <= judge().budget, score_of(numbers, GOALS), np.inf)
    return numbers, score, fineness_of(numbers, GOALS), price


def test_every_pair_has_the_numbers_that_whole_arrays_give():
    numbers, score, fineness, price = everything()
    found = judge_pairs(*axles(), range(FRONTS), judge(kept=FRONTS * REARS))
    known = np.isfinite(score) & np.isfinite(fineness)
    which = found.front * REARS + found.rear

    assert set(which) == set(np.flatnonzero(known))
    assert 100 < known.sum() < FRONTS * REARS
    for name, values in numbers.items():
        assert found.metrics[name] == pytest.approx(values[which], rel=1e-9, abs=1e-12), name
    assert found.score == pytest.approx(score[which], rel=1e-9, abs=1e-12)
    assert found.fineness == pytest.approx(fineness[which], rel=1e-9)
    assert found.price == pytest.approx(price[which])
    assert (found.looked, found.met) == (FRONTS * REARS, int((score <= 0).sum()))
    assert np.ptp(numbers["rear_lift"][known]) > 0.5


def kept_by_sorting(score, fineness, price, spare, kept):
    """The same by whole sorts, one for each mark."""
    good = np.flatnonzero(np.isfinite(score) & np.isfinite(fineness))
    keys = ((price, fineness, score), (fineness, price, score), (price, -spare, score))
    chosen = [good[np.lexsort([key[good] for key in each])][:kept] for each in keys]
    by_price = good[np.lexsort((fineness[good], score[good], price[good]))]
    least = np.inf
    for k in by_price:
        if score[k] < least:
            least = score[k]
            chosen.append(np.array([k]))
    return np.unique(np.concatenate(chosen))


@pytest.mark.parametrize("steps", [3, 1000])
def test_what_is_kept_is_what_whole_sorts_keep_whatever_is_alike(steps):
    """Marks in few steps, so that many are equal; some are none."""
    for seed in range(30):
        dice = np.random.default_rng(seed)
        score, fineness, price, spare = dice.integers(0, steps, (4, 200)).astype(float)
        score[dice.random(200) < 0.1] = np.inf
        fineness[dice.random(200) < 0.1] = np.nan
        assert kept_of(score, fineness, price, spare, 7).tolist() == (
            kept_by_sorting(score, fineness, price, spare, 7).tolist()
        )


@pytest.mark.parametrize("size", [1, 4, FRONTS])
def test_neither_blocks_nor_the_order_in_which_they_come_decide_what_is_found(size, monkeypatch):
    whole = judge_pairs(*axles(), range(FRONTS), judge())
    monkeypatch.setattr("jounce.search.pairs._BLOCK", 3 * REARS)
    parts = [judge_pairs(*axles(), range(k, min(k + size, FRONTS)), judge()) for k in range(0, FRONTS, size)]
    np.random.default_rng(size).shuffle(parts)
    found = merged(parts, judge().kept)

    for name in ("front", "rear", "score", "fineness", "price"):
        assert getattr(found, name).tolist() == getattr(whole, name).tolist(), name
    assert (found.looked, found.met) == (whole.looked, whole.met)


def test_equal_pairs_are_kept_in_the_order_of_their_variants():
    numbers = {name: np.ones(6) for name in ("front_share", "front_free", "rear_free")}

    assert kept_of(np.zeros(6), np.ones(6), np.ones(6), in_hand(numbers), 2).tolist() == [0, 1]
