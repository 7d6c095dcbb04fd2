"""Numbers of pairs by a second method: whole arrays of all pairs at once, four points of a grid gathered for each."""

from __future__ import annotations

import numpy as np

from jounce.numerics.arrays import Array, IntArray
from jounce.search.kernels.pairing import BRISK, GENTLE
from jounce.search.pairs import Half, Judge

_FIRST_LIFT = 2  # accelerations below are not looked at for wheel lift


def pair_metrics(front: Half, rear: Half, judge: Judge) -> dict[str, Array]:
    """Every number of every pair, front after front, each shape (pairs,)."""
    gradients, shares, lifts = [], [], []
    for turn in (0, 1):
        rolls, moved, inside = _in_turn(front, rear, judge, turn)
        gradients.append((rolls[..., GENTLE] - rolls[..., 0]) / judge.across[GENTLE])
        change = moved - judge.standing[turn]
        shares.append(change[..., 0] / change.sum(axis=-1))
        lifts.append(_lift(inside, judge.across[_FIRST_LIFT:]))
    spread = np.ones((len(front.price), len(rear.price)))
    return {
        "front_frequency": (front.frequency[:, None] * spread).ravel(),
        "rear_frequency": (rear.frequency[None] * spread).ravel(),
        "frequency_ratio": (rear.frequency[None] / front.frequency[:, None]).ravel(),
        "roll_gradient": np.mean(gradients, axis=0).ravel(),
        "front_share": np.mean(shares, axis=0).ravel(),
        "rear_lift": np.min(lifts, axis=0).ravel(),
        "front_bump": (front.bump[:, None] * spread).ravel(),
        "rear_bump": (rear.bump[None] * spread).ravel(),
        "front_free": (front.free[:, None] * spread).ravel(),
        "rear_free": (rear.free[None] * spread).ravel(),
    }


def _in_turn(front: Half, rear: Half, judge: Judge, turn: int) -> tuple[Array, Array, Array]:
    """Roll (f, r, a), load moved at 0.6 g by axle (f, r, 2), load of the inside rear wheel (f, r, a from 0.6 g)."""
    rolls, inside = [], []
    moved: Array = np.zeros((len(front.price), len(rear.price), 2))
    for a in range(len(judge.across)):
        total = front.moment[:, None, turn, a] + rear.moment[None, :, turn, a] + judge.body[turn, a]
        roll, first, weight = _balanced(total, judge.rolls)
        rolls.append(roll)
        if a < _FIRST_LIFT:
            continue
        inside.append(_blend(rear.load[None, :, turn, 0, a], first, weight))
        if a == BRISK:
            for axle, half in ((0, front.load[:, None]), (1, rear.load[None])):
                outer, inner = (_blend(half[:, :, turn, k, a], first, weight) for k in (1, 0))
                moved[..., axle] = 0.5 * (outer - inner)
    return np.stack(rolls, -1), moved, np.stack(inside, -1)


def _balanced(total: Array, rolls: Array) -> tuple[Array, IntArray, Array]:
    """Roll at which a falling moment is none; four grid points around it and their weights. NaN beyond the grid."""
    count = total.shape[-1]
    above = (total > 0).sum(axis=-1)  # what was not reached lies beyond, at large rolls
    outside = (above == 0) | (above == count)
    first = np.clip(above - 2, 0, count - 4)
    near = np.take_along_axis(total, first[..., None] + np.arange(4), axis=-1)
    share = np.zeros_like(near)
    for i in range(4):  # the inverse function through four points
        others = [j for j in range(4) if j != i]
        product = np.ones_like(near[..., 0])
        for j in others:
            product = (
                product * near[..., j] / np.where(near[..., j] == near[..., i], np.inf, near[..., j] - near[..., i])
            )
        share[..., i] = product
    place = np.clip((share * np.arange(4)).sum(axis=-1), 0.0, 3.0)
    step = rolls[1] - rolls[0]
    roll = np.where(outside, np.nan, rolls[0] + step * (first + place))
    weight = np.stack(
        [np.prod([(place - j) / (i - j) for j in range(4) if j != i], axis=0) for i in range(4)],
        axis=-1,
    )
    return roll, first, weight


def _blend(values: Array, first: IntArray, weight: Array) -> Array:
    shape = (*first.shape, values.shape[-1])
    near = np.take_along_axis(np.broadcast_to(values, shape), first[..., None] + np.arange(4), axis=-1)
    return np.asarray((near * weight).sum(axis=-1))


def _lift(load: Array, across: Array) -> Array:
    """Acceleration at which the load is used up; the last one where it is not, NaN where it is not known.

    Carried on from the last two accelerations at which the wheel was loaded: once it is lifted other things happen.
    """
    up = ~(load > 0)  # also where the body rolls farther than was worked out
    first = np.where(up.any(axis=-1), np.argmax(up, axis=-1), load.shape[-1])
    after = np.clip(first, 2, load.shape[-1] - 1)
    low, high = (np.take_along_axis(load, (after - k)[..., None], axis=-1)[..., 0] for k in (2, 1))
    fall = np.where(low > high, (low - high) / (across[after - 1] - across[after - 2]), np.inf)
    found = np.clip(across[after - 1] + high / fall, across[after - 1], across[after])
    found = np.where(first >= load.shape[-1], across[-1], found)
    return np.asarray(np.where(first < 2, np.nan, found))
