"""Pairs of a front and a rear variant, compiled: each is judged by numbers in registers, and only its marks are written.

At some sizes of the lateral acceleration, for both turns, the body rolls to where both axles' moments and its own add up
to none; what the wheels carry there is read at the same place. All arrays are contiguous, rolls last.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jounce.numerics.arrays import Array, IntArray
from jounce.numerics.compiled import compiled, compiled_inner

BRISK, GENTLE = 2, 1
"""Where among the accelerations 0.6 g and 4 m/s² are; below the first no lift is looked for."""
NAMES = (
    "front_frequency",
    "rear_frequency",
    "frequency_ratio",
    "roll_gradient",
    "front_share",
    "rear_lift",
    "front_bump",
    "rear_bump",
    "front_free",
    "rear_free",
)
"""Numbers of a pair in the order in which they are written."""
_FRONT_FREQUENCY, _REAR_FREQUENCY, _RATIO, _GRADIENT, _SHARE, _LIFT = range(6)
_FRONT_BUMP, _REAR_BUMP, _FRONT_FREE, _REAR_FREE = range(6, 10)
_AROUND = 4  # grid points around the root


class AxleArrays(NamedTuple):
    """Variants of an axle, see `pairs.Half`."""

    moment: Array
    load: Array
    frequency: Array
    bump: Array
    free: Array
    price: Array


class Marks(NamedTuple):
    """What pairs are judged by, see `pairs.Judge`; of each goal metric, low, high, weight, scale and half window."""

    rolls: Array
    across: Array
    body: Array
    standing: Array
    metric: IntArray
    window: Array
    spare: Array
    budget: float


class PairRoom(NamedTuple):
    """Room for one pair: body and front moments, where the roll is and how the points around it count, and the rest."""

    held: Array
    total: Array
    weight: Array
    inside: Array
    numbers: Array


@compiled
def judge_block(  # noqa: PLR0913, PLR0917  # compiled code takes plain arrays
    front: AxleArrays,
    rear: AxleArrays,
    marks: Marks,
    start: int,
    end: int,
    score: Array,
    fineness: Array,
    spare: Array,
    price: Array,
) -> None:
    """Judge all pairs of some front variants, front after front.

    Args:
        front: front variants
        rear: rear variants
        marks: what they are judged by
        start: first front variant
        end: one behind the last
        score: receives the scores, infinite beyond the budget, shape (pairs,) [-]
        fineness: receives how far from the windows' middles, shape (pairs,) [-]
        spare: receives what pairs have in hand, shape (pairs,) [-]
        price: receives the prices, shape (pairs,) [money]
    """
    room = _room(marks)
    n = 0
    for i in range(start, end):
        _hold(front, marks, i, room)
        for j in range(len(rear.price)):
            _numbers(front, rear, marks, i, j, room)
            price[n] = front.price[i] + rear.price[j]
            missed, off, weights = 0.0, 0.0, 0.0
            for g in range(len(marks.metric)):
                value = room.numbers[marks.metric[g]]
                low, high, weight = marks.window[g, 0], marks.window[g, 1], marks.window[g, 2]
                miss = np.inf
                if not np.isnan(value):
                    miss = max(low - value, value - high, 0.0) / marks.window[g, 3]
                missed += weight * miss * miss
                off += weight * abs(value - 0.5 * (high + low)) / marks.window[g, 4]
                weights += weight
            score[n] = missed if price[n] <= marks.budget else np.inf
            fineness[n] = off / max(weights, 1e-12)
            in_hand = 0.0
            for which, scale in ((_SHARE, 0), (_FRONT_FREE, 1), (_REAR_FREE, 2)):
                if not np.isnan(room.numbers[which]):
                    in_hand += room.numbers[which] / marks.spare[scale]
            spare[n] = in_hand
            n += 1


@compiled
def number_pairs(
    front: AxleArrays, rear: AxleArrays, marks: Marks, fronts: IntArray, rears: IntArray, numbers: Array
) -> None:
    """Every number of some pairs.

    Args:
        front: front variants
        rear: rear variants
        marks: what they are judged by
        fronts: front variant of each pair, shape (pairs,)
        rears: rear variant, shape (pairs,)
        numbers: receives them in the order of `NAMES`, shape (pairs, 10) [SI]
    """
    room = _room(marks)
    for n in range(len(fronts)):
        _hold(front, marks, fronts[n], room)
        _numbers(front, rear, marks, fronts[n], rears[n], room)
        numbers[n] = room.numbers


@compiled
def _room(marks: Marks) -> PairRoom:
    return PairRoom(
        np.empty(marks.body.shape),
        np.empty(len(marks.rolls)),
        np.empty(_AROUND),
        np.empty(len(marks.across)),
        np.empty(len(NAMES)),
    )


@compiled_inner
def _hold(front: AxleArrays, marks: Marks, i: int, room: PairRoom) -> None:
    """Moments of the body and a front variant together."""
    for turn in range(2):
        for a in range(len(marks.across)):
            for r in range(len(marks.rolls)):
                room.held[turn, a, r] = front.moment[i, turn, a, r] + marks.body[turn, a, r]


@compiled_inner
def _numbers(front: AxleArrays, rear: AxleArrays, marks: Marks, i: int, j: int, room: PairRoom) -> None:
    gradient, share, lift = 0.0, 0.0, np.inf
    for turn in range(2):
        still, _ = _balanced(rear, marks, j, turn, 0, room)
        gentle, _ = _balanced(rear, marks, j, turn, GENTLE, room)
        gradient += 0.5 * (gentle - still) / marks.across[GENTLE]
        up = len(marks.across)
        for a in range(BRISK, len(marks.across)):
            _, first = _balanced(rear, marks, j, turn, a, room)
            inside = _read(rear.load, j, turn, 0, a, first, room)
            room.inside[a] = inside
            if a == BRISK:
                outside = _read(rear.load, j, turn, 1, a, first, room)
                outer = _read(front.load, i, turn, 1, a, first, room)
                inner = _read(front.load, i, turn, 0, a, first, room)
                changed = 0.5 * (outer - inner) - marks.standing[turn, 0]
                behind = 0.5 * (outside - inside) - marks.standing[turn, 1]
                share += 0.5 * changed / (changed + behind)
            if not inside > 0:  # also where the body rolls farther than was worked out
                up = a
                break
        lift = _earlier(lift, _lift(room.inside, marks.across, up))
    numbers = room.numbers
    numbers[_FRONT_FREQUENCY], numbers[_REAR_FREQUENCY] = front.frequency[i], rear.frequency[j]
    numbers[_RATIO] = rear.frequency[j] / front.frequency[i]
    numbers[_GRADIENT], numbers[_SHARE], numbers[_LIFT] = gradient, share, lift
    numbers[_FRONT_BUMP], numbers[_REAR_BUMP] = front.bump[i], rear.bump[j]
    numbers[_FRONT_FREE], numbers[_REAR_FREE] = front.free[i], rear.free[j]


@compiled_inner
def _balanced(rear: AxleArrays, marks: Marks, j: int, turn: int, a: int, room: PairRoom) -> tuple[float, int]:
    """Roll at which a falling moment is none, NaN beyond the grid, and the first of four points around it.

    Their weights go into the room.
    """
    total, count, above = room.total, len(marks.rolls), 0
    for r in range(count):
        total[r] = room.held[turn, a, r] + rear.moment[j, turn, a, r]
        above += total[r] > 0  # what was not reached lies beyond, at large rolls
    first = min(max(above - 2, 0), count - _AROUND)
    y0, y1, y2, y3 = total[first], total[first + 1], total[first + 2], total[first + 3]
    # the inverse function through four points
    place = _part(y0, y1, y2, y3) * 0 + _part(y1, y0, y2, y3) + 2 * _part(y2, y0, y1, y3) + 3 * _part(y3, y0, y1, y2)
    place = place if np.isnan(place) else min(max(place, 0.0), 3.0)
    room.weight[0] = -(place - 1) * (place - 2) * (place - 3) / 6
    room.weight[1] = place * (place - 2) * (place - 3) / 2
    room.weight[2] = -place * (place - 1) * (place - 3) / 2
    room.weight[3] = place * (place - 1) * (place - 2) / 6
    if not 0 < above < count:
        return np.nan, first
    return marks.rolls[0] + (marks.rolls[1] - marks.rolls[0]) * (first + place), first


@compiled_inner
def _part(own: float, a: float, b: float, c: float) -> float:
    """How much one of four points counts where the function is none; not at all beside an equal one."""
    apart = (a - own) * (b - own) * (c - own)
    return a * b * c / apart if apart != 0 else 0.0


@compiled_inner
def _read(  # noqa: PLR0913, PLR0917
    load: Array, variant: int, turn: int, wheel: int, a: int, first: int, room: PairRoom
) -> float:
    found = 0.0
    for k in range(_AROUND):
        found += load[variant, turn, wheel, a, first + k] * room.weight[k]
    return found


@compiled_inner
def _lift(load: Array, across: Array, up: int) -> float:
    """Acceleration at which the load is used up; the last one where it is not, NaN where it is not known.

    Carried on from the last two accelerations at which the wheel was loaded: once it is lifted other things happen.
    """
    if up >= len(across):
        return float(across[len(across) - 1])
    if up < BRISK + 2:
        return np.nan
    low, high = load[up - 2], load[up - 1]
    if not low > high:
        return float(across[up - 1])
    found = across[up - 1] + high * (across[up - 1] - across[up - 2]) / (low - high)
    return float(min(max(found, across[up - 1]), across[up]))


@compiled_inner
def _earlier(one: float, other: float) -> float:
    return other if np.isnan(other) or other < one else one
