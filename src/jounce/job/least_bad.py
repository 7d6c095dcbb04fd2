"""Heights and cross weight beyond what the spring seats reach: the seats that leave the least of both missed, together.

Where each seat reaches what is asked of it, its own height says where it goes. Where one is at its end, the corner there
stands too high or too low, and through the body the others are off as well: then all seats of the car are set together.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from jounce.car.parts import Perch
from jounce.conventions.axes import Corner
from jounce.conventions.units import MM
from jounce.job.least_miss import least_miss_within
from jounce.job.settings import QUARTER_TURN, PerchSetting
from jounce.job.shackles import LIFTS, ShackleRange
from jounce.numerics.arrays import Array

__all__ = ["CROSS_OF_A_LENGTH", "SeatPlaces", "least_bad", "misses_of", "places_of", "reset"]

CROSS_OF_A_LENGTH = 0.001 / MM
"""What of the cross weight counts as much as a length of height: 0.1 % as much as 1 mm, as the limits of the checks [1/m].

Common practice, no source.
"""
_WHOLE = 1e-9  # a count this near to a whole one is that
_HAIR = 1e-9  # a place this near to an end is not beyond it [m]
_TRIED = 0.1 * MM  # of a seat, to see what it does
_CLOSE = 1e-8  # a step of the seats that is the last [m]


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

    def beside(self, seat: float) -> list[float]:
        """The places below and above a seat within the ends; itself where it can be anywhere.

        Args:
            seat: above the measured one [m]
        """
        if self.step is None:
            return [seat]
        least, most = ((end - self.origin) / self.step for end in (self.low, self.high))
        least = least if math.isinf(least) else math.ceil(least - _WHOLE)
        most = most if math.isinf(most) else math.floor(most + _WHOLE)
        below = math.floor((seat - self.origin) / self.step + _WHOLE)
        counts = {min(max(float(count), least), most) for count in (below, below + 1)}
        return [self.origin + count * self.step for count in sorted(counts)]


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
    if setting.wanted is None:
        return None
    if setting.shackle is not None and shackles is not None:
        low, high = (spacer + LIFTS * end for end in shackles.ends())
        return SeatPlaces(low, high, None if shackles.step is None else LIFTS * shackles.step, spacer)
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


def least_bad(
    places: Mapping[Corner, SeatPlaces],
    start: Mapping[Corner, float],
    misses: Callable[[Mapping[Corner, float]], Array],
) -> tuple[dict[Corner, float], dict[Corner, float]]:
    """Seats within their ends that leave the least sum of squares of what is missed, then in real steps.

    Of the steps on either side of each seat those together that leave the least are taken.

    Args:
        places: where each seat can be
        start: where each is [m]
        misses: what the car misses with seats [m]

    Returns:
        The seats in steps [m], and where they would be set anywhere.
    """
    corners = list(places)

    def told(seats: Array) -> Array:
        return misses(dict(zip(corners, map(float, seats), strict=True)))

    ends = tuple(np.array([getattr(place, end) for place in places.values()]) for end in ("low", "high"))
    best = least_miss_within(told, np.array([start[c] for c in corners]), (ends[0], ends[1]), _TRIED, _CLOSE)
    beside = [place.beside(float(seat)) for place, seat in zip(places.values(), best.at, strict=True)]
    chosen = min(product(*beside), key=lambda seats: best.about(np.array(seats)))
    return dict(zip(corners, chosen, strict=True)), dict(zip(corners, map(float, best.at), strict=True))


def reset(setting: PerchSetting, place: SeatPlaces, seat: float, best: float) -> PerchSetting:
    """A seat's setting with the seat elsewhere.

    Args:
        setting: as its own height asked; a place beyond its ends stays told as what would be needed
        place: where it can be
        seat: where it is put [m]
        best: where it would be put anywhere within its ends [m]
    """
    wanted = setting.wanted if setting.wanted is not None and place.beyond(setting.wanted) else best
    if setting.shackle is not None:
        return PerchSetting(wanted, seat, None, setting.adjustable, (seat - place.origin) / LIFTS)
    turns = None if place.step is None else round((seat - place.origin) / place.step) * QUARTER_TURN
    return PerchSetting(wanted, seat, turns, setting.adjustable)
