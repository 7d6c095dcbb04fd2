"""Heights and cross weight: all springs of the car that can be set, set together, then rounded in the order of the work.

Four heights and the cross weight are five wishes of one car on four tyres, and each spring moves all of them. So they are
one problem of least squares, whatever springs there are: where they suffice all wishes are met, where one is at its end or
the wishes contradict each other the least of all is missed. Then each torsion bar goes to the nearest of its teeth, the
rest set anew after each; last the seats together to those of their steps that leave the least.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from jounce.car.parts import Perch, TorsionBarSection
from jounce.conventions.axes import Corner
from jounce.conventions.errors import Impossible
from jounce.conventions.units import MM
from jounce.job.least_miss import Missed, least_miss_within
from jounce.job.settings import QUARTER_TURN, PerchSetting, index_of_bar
from jounce.job.shackles import LIFTS, ShackleRange
from jounce.numerics.arrays import Array

__all__ = [
    "ANYWHERE",
    "CROSS_OF_A_LENGTH",
    "BarPlaces",
    "SeatPlaces",
    "SpringAdjuster",
    "SpringSet",
    "misses_of",
    "places_of",
    "reset",
    "set_together",
    "slopes_of",
]

CROSS_OF_A_LENGTH = 0.001 / MM
"""What of the cross weight counts as much as a length of height: 0.1 % as much as 1 mm, as the limits of the checks [1/m].

Common practice, no source.
"""
_WHOLE = 1e-9  # a count this near to a whole one is that
_DIGITS = 12  # of a length in metres: finer than any part is made
_HAIR = 1e-9  # a place this near to an end is not beyond it [m]
_CLOSE = 1e-7  # a step of the springs that is the last; what it leaves is a hundredth of it or less [m or rad]


@dataclass(frozen=True, slots=True)
class SeatPlaces:
    """Where a spring's seat can be, above the measured one: from ``low`` to ``high`` in a ``step`` from ``origin`` [m].

    Without a step it is anywhere between its ends, which are infinite where nobody told.
    """

    low: float
    high: float
    step: float | None
    origin: float

    def beyond(self, seat: float) -> bool:
        """Whether a seat would have to be where it cannot.

        Args:
            seat: above the measured one [m]
        """
        return not self.low - _HAIR <= seat <= self.high + _HAIR

    def beside(self, setting: float) -> list[float]:
        """The places below and above a seat within the ends; itself where it can be anywhere.

        Args:
            setting: above the measured one [m]
        """
        if self.step is None:
            return [setting]
        least, most = ((end - self.origin) / self.step for end in (self.low, self.high))
        least = least if math.isinf(least) else math.ceil(least - _WHOLE)
        most = most if math.isinf(most) else math.floor(most + _WHOLE)
        below = math.floor((setting - self.origin) / self.step + _WHOLE)
        counts = {min(max(float(count), least), most) for count in (below, below + 1)}
        return [self.origin + count * self.step for count in sorted(counts)]


@dataclass(frozen=True, slots=True)
class BarPlaces:
    """Where the free end of a torsion bar can be, by its teeth and its bolt."""

    bar: TorsionBarSection
    low: float = -math.inf
    high: float = math.inf

    def nearest(self, setting: float) -> float:
        """What teeth and bolt reach nearest to a turn; the turn where its splines are not known.

        Args:
            setting: turn from the free angle as found, positive winds up [rad]
        """
        return index_of_bar(self.bar, setting).reached


ANYWHERE = SeatPlaces(-math.inf, math.inf, None, 0.0)
"""A new spring whose free length is not known: it is taken to be as long as the wishes ask for."""


@dataclass(frozen=True, slots=True)
class SpringAdjuster:
    """A spring that can be set.

    Attributes:
        corner: whose
        begun: where its own height asks for it, to begin with: turn of a bar, place of a seat [rad or m]
        places: where it can be set

    """

    corner: Corner
    begun: float
    places: SeatPlaces | BarPlaces


@dataclass(frozen=True, slots=True)
class SpringSet:
    """A spring as it is set.

    Attributes:
        setting: where it is set, by its real steps [rad or m]
        sought: where it would be set anywhere within its ends, those before it set as they are [rad or m]
        needed: where it would be sought if no spring had an end [rad or m]

    """

    setting: float
    sought: float
    needed: float


def places_of(
    setting: PerchSetting, thread: Perch | None, shackles: ShackleRange | None, spacer: float
) -> SeatPlaces | None:
    """Where the seat of a spring can be; None where it is not set, or where it would have to be is not known.

    Args:
        setting: as its own height asks
        thread: of its perch, where it has one
        shackles: of its leaf spring, where they are set
        spacer: height of what is put between spring and seat [m]
    """
    if setting.wanted is None or setting.one_length:
        return None
    if setting.shackle is not None and shackles is not None:
        low, high = (spacer + LIFTS * end for end in shackles.ends())
        step = None if shackles.step is None else LIFTS * shackles.step
        return SeatPlaces(low, high, step, spacer + LIFTS * shackles.origin)
    if thread is None or not setting.adjustable:
        return None
    return SeatPlaces(thread.lowest.value, thread.highest.value, thread.pitch.value * QUARTER_TURN, thread.lowest.value)


def misses_of(lower_by: Sequence[float], cross_off: float) -> Array:
    """What is missed, as lengths: heights as they are, cross weight by `CROSS_OF_A_LENGTH`, shape (corners + 1,) [m].

    Args:
        lower_by: by how much each corner is lower than wanted [m]
        cross_off: by how much the cross weight is more than wanted [-]
    """
    return np.array([*lower_by, cross_off / CROSS_OF_A_LENGTH])


def slopes_of(travels_and_cross: Array) -> Array:
    """What settings do to what is missed, shape (corners + 1, settings).

    Args:
        travels_and_cross: what they do to the travels and to the cross share, of that shape
    """
    return np.vstack((travels_and_cross[:-1], travels_and_cross[-1:] / CROSS_OF_A_LENGTH))


def set_together(adjusters: Sequence[SpringAdjuster], missed: Missed) -> list[SpringSet]:
    """Settings that leave the least sum of squares of what is missed, in real steps, in the order of the work.

    Args:
        adjusters: the springs that can be set
        missed: what the car misses with settings, and its slopes, as of `misses_of`

    Returns:
        Each spring's setting, in the order of the adjusters.

    Raises:
        Impossible: the car finds no rest
    """
    begun = np.array([one.begun for one in adjusters])
    low, high = (np.array([getattr(one.places, end) for one in adjusters]) for end in ("low", "high"))
    needed = begun
    try:
        free = _set_within(adjusters, missed, begun, (np.full_like(low, -np.inf), np.full_like(high, np.inf)))
    except Impossible:  # far beyond its ends a spring may be loose: what its own height asks for is told
        pass
    else:
        needed = np.array([one.sought for one in free])
        if np.all((low - _HAIR <= needed) & (needed <= high + _HAIR)):
            return free
    within = _set_within(adjusters, missed, needed, (low, high))
    return [replace(one, needed=float(most)) for one, most in zip(within, needed, strict=True)]


def _set_within(
    adjusters: Sequence[SpringAdjuster], missed: Missed, at: Array, ends: tuple[Array, Array]
) -> list[SpringSet]:
    """Bars one after another on their teeth, then seats together on their steps."""
    low, high = (end.copy() for end in ends)
    put: dict[int, SpringSet] = {}
    bars = {k: one.places for k, one in enumerate(adjusters) if isinstance(one.places, BarPlaces)}
    if bars:
        best = least_miss_within(missed, at, ends, _CLOSE)
        for k, places in bars.items():
            sought = float(best.held({bar: one.setting for bar, one in put.items()})[k])
            put[k] = SpringSet(places.nearest(sought), sought, sought)
            low[k] = high[k] = put[k].setting
        at = best.held({bar: one.setting for bar, one in put.items()})
    seats = {k: one.places for k, one in enumerate(adjusters) if isinstance(one.places, SeatPlaces)}
    if seats:
        best = least_miss_within(missed, at, (low, high), _CLOSE)
        beside = {k: places.beside(float(best.at[k])) for k, places in seats.items() if places.step is not None}
        steps = (dict(zip(beside, one, strict=True)) for one in product(*beside.values()))
        at = min((best.held(one) for one in steps), key=best.about)
        put |= {k: SpringSet(float(at[k]), float(best.at[k]), float(best.at[k])) for k in seats}
    return [put[k] for k in range(len(adjusters))]


def reset(setting: PerchSetting, place: SeatPlaces, put: SpringSet) -> PerchSetting:
    """A seat's setting with the seat elsewhere.

    Args:
        setting: as its own height asked
        place: where it can be
        put: where it is put; a place beyond its ends that would be needed stays told as that
    """
    wanted = put.needed if place.beyond(put.needed) else put.sought
    if setting.shackle is not None:
        longer = round(setting.shackle + (put.setting - setting.seat) / LIFTS, _DIGITS) + 0.0  # never minus nothing
        return PerchSetting(wanted, put.setting, None, setting.adjustable, longer)
    turns = None if place.step is None else round((put.setting - place.origin) / place.step) * QUARTER_TURN
    return PerchSetting(wanted, put.setting, turns, setting.adjustable)
