"""Where in a recording the car was let go: the swings that follow each push."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.numerics.arrays import Array
from jounce.recordings.sensor_csv import Recording

__all__ = ["Swings", "released"]

_STRONG = 0.45  # a push reaches so much of the strongest accelerations that there are
_QUIET = 0.9  # after so long without a strong one the next push begins [s]
_LONG = 2.6  # swings are followed for so long at most [s]
_SHORT = 0.6  # and so long at least [s]
_NEXT = 0.12  # before the next push the hand is on the car again [s]


@dataclass(frozen=True, slots=True)
class Swings:
    """What followed a push.

    Attributes:
        start: moment of the recording at which it begins [s]
        time: from there, rising from 0, shape (samples,) [s]
        acceleration: upwards, shape (samples,) [m/s²]

    """

    start: float
    time: Array
    acceleration: Array


def released(recording: Recording) -> list[Swings]:
    """The swings after each push, from where the body is lowest and goes up by itself.

    Args:
        recording: what was recorded
    """
    time, upward = recording.time, recording.vertical
    size = np.abs(upward)
    strong = np.flatnonzero(size > _STRONG * np.quantile(size, 0.995))
    if not len(strong):
        return []
    parted = np.flatnonzero(np.diff(time[strong]) > _QUIET)
    firsts, lasts = strong[np.concatenate(([0], parted + 1))], strong[np.concatenate((parted, [len(strong) - 1]))]
    found = []
    for k, (first, last) in enumerate(zip(firsts, lasts, strict=True)):
        begin = int(first + np.argmax(upward[first : last + 1]))  # lowest, and pushed up most
        end = time[begin] + _LONG
        if k + 1 < len(firsts):
            end = min(end, time[firsts[k + 1]] - _NEXT)
        which = np.flatnonzero((time >= time[begin]) & (time <= end))
        if len(which) and time[which[-1]] - time[begin] >= _SHORT:
            found.append(Swings(float(time[begin]), time[which] - time[begin], upward[which]))
    return found
