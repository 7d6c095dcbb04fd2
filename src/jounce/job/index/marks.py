"""Re-indexing a torsion bar: how many teeth at each end turn its free angle by what a height asks for.

A thicker bar twists less under the same load, so it needs new marks even at the same height:
``turn = wound_up(new) - wound_up(old) - arm_turn``, positive where the arm is set lower (wound up more).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from jounce.numerics.arrays import Array, IntArray

_USUAL_TEETH = 12
"""Teeth moved at either end: with usual spline counts every reachable step occurs well below."""
_FURTHER = 2
"""Teeth beyond half a vernier's round: as far as a change of height turns a bar."""
_AS_GOOD = math.radians(0.05)  # pairs this close to the best are chosen by the fewest teeth [rad]
_SAME = 1e-9  # turns closer than this are one turn [rad]
_BOLT_PARTS = 4  # a bolt is set to a quarter turn


@dataclass(frozen=True, slots=True)
class IndexSetting:
    """A pair of teeth: how many each end is moved in the sense that winds the bar up, and the angles [rad].

    ``wanted`` is the turn asked for, ``reached`` what teeth and bolt give together; ``bolt_turns`` is 0 without a bolt.
    ``splined`` is False when the spline counts are not known: then the turn is reached exactly and has to be marked out.
    """

    wanted: float
    reached: float
    arm_teeth: int
    anchor_teeth: int
    bolt_turns: float
    splined: bool


@dataclass(frozen=True, slots=True)
class Bolt:
    """An adjusting bolt at the anchor: its turn of the anchor per turn [rad], and the turns left down (<= 0) and up [-].

    The anchor's lever is taken as square to the bolt: one turn turns the anchor by the pitch's angle at the lever.
    """

    step: float = 0.0
    down: float = 0.0
    up: float = 0.0

    def nearest_of(self, wanted: Array) -> Array:
        """Turns, to the quarter and within what is left, that come nearest to turns of the anchor.

        Args:
            wanted: turns of the anchor, any shape [rad]

        Returns:
            The same shape, in turns of the bolt [-]
        """
        if not self.step:
            return np.zeros_like(wanted)
        low, high = math.ceil(self.down * _BOLT_PARTS), math.floor(self.up * _BOLT_PARTS)
        return np.minimum(np.maximum(np.round(wanted / self.step * _BOLT_PARTS), low), high) / _BOLT_PARTS


NO_BOLT = Bolt()
"""An anchor that cannot be adjusted."""


@dataclass(frozen=True, slots=True)
class TeethPair:
    """Teeth moved at each end in the sense that winds the bar up, and the turn of the bar that they give [rad]."""

    arm: int
    anchor: int
    turn: float


def teeth_pairs(splines_arm: int, splines_anchor: int, low: float, high: float) -> list[TeethPair]:
    """Every turn within a range that teeth alone can give, each by the pair with the fewest teeth.

    Args:
        splines_arm: splines at the arm
        splines_anchor: splines at the anchor
        low: smallest turn [rad]
        high: largest turn [rad]

    Returns:
        The pairs by rising turn, no two of them alike.

    >>> [(p.arm, p.anchor) for p in teeth_pairs(40, 44, math.radians(-1), math.radians(1))]
    [(-1, 1), (0, 0), (1, -1)]
    """
    pairs = sorted(_pairs(splines_arm, splines_anchor), key=lambda pair: (pair.turn, _teeth(pair)))
    kept: list[TeethPair] = []
    for pair in pairs:
        if not low - _SAME <= pair.turn <= high + _SAME:
            continue
        if kept and abs(pair.turn - kept[-1].turn) <= _SAME:
            kept[-1] = min(kept[-1], pair, key=_teeth)
        else:
            kept.append(pair)
    return kept


def most_teeth(splines_arm: int, splines_anchor: int) -> int:
    """Teeth moved at either end at the most: enough that every multiple of the finest step is among the pairs.

    With ``n1 = g p`` and ``n2 = g q``, ``g`` their greatest common divisor, ``a q + b p = k`` has a whole solution for
    every ``k`` (Bézout), one of them with ``|a| <= p / 2``.

    >>> most_teeth(40, 44), most_teeth(36, 37)
    (12, 21)
    """
    round_ = max(splines_arm, splines_anchor) // math.gcd(splines_arm, splines_anchor)
    return max(_USUAL_TEETH, -(-round_ // 2) + _FURTHER)


def _pairs(splines_arm: int, splines_anchor: int) -> Iterator[TeethPair]:
    most = most_teeth(splines_arm, splines_anchor)
    teeth = range(-most, most + 1)
    for arm in teeth:
        for anchor in teeth:
            yield TeethPair(arm, anchor, math.tau * (arm / splines_arm + anchor / splines_anchor))


def _teeth(pair: TeethPair) -> tuple[int, int]:
    return abs(pair.arm) + abs(pair.anchor), abs(pair.arm)


def finest_step(splines_arm: int, splines_anchor: int) -> float:
    """Smallest turn that teeth of both ends give together, ``2 pi / lcm(n1, n2)`` [rad].

    >>> round(math.degrees(finest_step(40, 44)), 4)
    0.8182
    """
    return math.tau / math.lcm(splines_arm, splines_anchor)


def index_setting(
    wanted: float,
    splines_arm: int | None,
    splines_anchor: int | None,
    bolt: Bolt = NO_BOLT,
) -> IndexSetting:
    """Teeth (and bolt turns) that come nearest to a turn of the bar.

    Args:
        wanted: turn of the bar's free angle in the sense that winds it up (raises the car) [rad]
        splines_arm: splines at the arm
        splines_anchor: splines at the anchor
        bolt: the adjusting bolt

    Returns:
        The setting with the fewest teeth among those that are as good as the best: within 0.05 degrees of it, or within
        half a quarter turn of the bolt. Without spline counts the turn itself.

    >>> s = index_setting(math.radians(0.8), 40, 44)
    >>> (s.arm_teeth, s.anchor_teeth, round(math.degrees(s.reached), 3))
    (1, -1, 0.818)
    """
    if not splines_arm or not splines_anchor:
        return IndexSetting(wanted, wanted, 0, 0, 0.0, splined=False)
    pairs = _every_pair(splines_arm, splines_anchor)
    turns = bolt.nearest_of(wanted - pairs.turn)
    reached = pairs.turn + turns * bolt.step
    off = np.abs(reached - wanted)
    as_good = max(float(off.min()) + _AS_GOOD * (bolt.step == 0), bolt.step / _BOLT_PARTS / 2)
    good = np.flatnonzero(off <= as_good + _SAME)
    one = int(good[np.lexsort((off[good], pairs.moved[good]))[0]])
    arm, anchor = int(pairs.arm[one]), int(pairs.anchor[one])
    return IndexSetting(wanted, float(reached[one]), arm, anchor, float(turns[one]), splined=True)


@dataclass(frozen=True, slots=True)
class _EveryPair:
    """Every pair of teeth as arrays: a search asks for the nearest of them thousands of times; turns in [rad]."""

    arm: IntArray
    anchor: IntArray
    moved: IntArray
    turn: Array


@lru_cache(maxsize=32)
def _every_pair(splines_arm: int, splines_anchor: int) -> _EveryPair:
    pairs = list(_pairs(splines_arm, splines_anchor))
    arm, anchor = (np.array([getattr(pair, end) for pair in pairs], dtype=np.intp) for end in ("arm", "anchor"))
    return _EveryPair(arm, anchor, np.abs(arm) + np.abs(anchor), np.array([pair.turn for pair in pairs]))
