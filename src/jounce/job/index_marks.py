"""Re-indexing a torsion bar: how many teeth at each end turn its free angle by what a height asks for.

A thicker bar twists less under the same load, so it needs new marks even at the same height:
``turn = wound_up(new) - wound_up(old) - arm_turn``, positive where the arm is set lower (wound up more).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

_MOST_TEETH = 12  # at either end: with usual spline counts every reachable step occurs well below
_AS_GOOD = math.radians(0.05)  # pairs this close to the best are chosen by the fewest teeth [rad]


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


def index_setting(
    wanted: float,
    splines_arm: int | None,
    splines_anchor: int | None,
    bolt_step: float = 0.0,
    bolt_range: tuple[float, float] = (0.0, 0.0),
) -> IndexSetting:
    """Teeth (and bolt turns) that come nearest to a turn of the bar.

    Args:
        wanted: turn of the bar's free angle in the sense that winds it up (raises the car) [rad]
        splines_arm: splines at the arm
        splines_anchor: splines at the anchor
        bolt_step: turn of the anchor per turn of the adjusting bolt [rad]
        bolt_range: turns left down (negative) and up [-]

    Returns:
        The setting; without spline counts the turn itself.

    >>> s = index_setting(math.radians(0.8), 40, 44)
    >>> (s.arm_teeth, s.anchor_teeth, round(math.degrees(s.reached), 3))
    (1, -1, 0.818)
    """
    if not splines_arm or not splines_anchor:
        return IndexSetting(wanted, wanted, 0, 0, 0.0, splined=False)
    teeth = range(-_MOST_TEETH, _MOST_TEETH + 1)
    settings = [
        _with_bolt(wanted, (a, b), 2 * math.pi * (a / splines_arm + b / splines_anchor), bolt_step, bolt_range)
        for a in teeth
        for b in teeth
    ]
    best = min(abs(s.reached - wanted) for s in settings)
    good = [s for s in settings if abs(s.reached - wanted) <= best + _AS_GOOD * (bolt_step == 0)]
    return min(good, key=lambda s: (abs(s.arm_teeth) + abs(s.anchor_teeth), abs(s.reached - wanted)))


def _with_bolt(
    wanted: float, teeth: tuple[int, int], turned: float, bolt_step: float, bolt_range: tuple[float, float]
) -> IndexSetting:
    turns = 0.0
    if bolt_step:
        turns = min(max((wanted - turned) / bolt_step, bolt_range[0]), bolt_range[1])
        turns = round(turns * 4) / 4  # a bolt is set to a quarter turn
    return IndexSetting(wanted, turned + turns * bolt_step, *teeth, turns, splined=True)
