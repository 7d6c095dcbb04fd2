"""Whole laps of a car driven round a circle: found in a recording by how far it turned, or told by a stopwatch.

A recording begins and ends standing on one line, the car facing the same way: so it has turned by a whole number of laps,
and the scale of the sensor that felt the turning is known by it, whatever its maker says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import tau

import numpy as np

from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import Impossible, InputError
from jounce.numerics.arrays import Array
from jounce.recordings.sensor_csv import Recording

__all__ = ["FeltDrive", "FeltLap", "felt_laps"]

_STILL = 0.03  # rad/s: a car that turns no faster stands, whatever its engine shakes
_STANDS = 2.0  # so long at the beginning and at the end at least [s]
_SCALE = 0.02  # a sensor of turning is off by no more than about so much [-]
_FACING = 0.03  # of a lap: how well the car comes back to face the same way
_MOST_OFF = 0.3  # of a lap
_MOST = 14  # laps of a recording: beyond it a scale that is off is taken for a further lap
_UNEVEN = 0.1  # spread of the speed over a lap that counts, and its change from the first third to the last [-]
_ON = 1 / 16  # of a lap: so much further on it is looked for the next even one
_SMOOTH = 0.3  # [s]
_SLOWEST = 0.05  # rad/s: below it there is no lap, but a car that begins or ends one


@dataclass(frozen=True, slots=True)
class FeltLap:
    """What a sensor aboard felt in one whole lap at an even speed.

    Attributes:
        start: moment of the recording at which it begins [s]
        duration: of the lap [s]
        turning: mean of the squared yaw rate [rad²/s²]
        felt: mean acceleration along the sensor's axes, gravity in it, shape (3,) [m/s²]
        steering: mean angle of the steering wheel as the file has it [rad]; None where it was not recorded

    """

    start: float
    duration: float
    turning: float
    felt: Array
    steering: float | None


@dataclass(frozen=True, slots=True)
class FeltDrive:
    """One recording.

    Attributes:
        turn: 1 to the left, -1 to the right
        standing: size of what the sensor feels standing [m/s²]
        driven: laps that the car came round
        laps: those at an even speed

    """

    turn: float
    standing: float
    driven: int
    laps: tuple[FeltLap, ...]


@dataclass(frozen=True, slots=True)
class _FromAbove:
    """A recording seen from above: how far the car has turned, its sense taken off, and how it stood."""

    turn: float
    standing: float
    laps: Array
    rate: Array


def felt_laps(recording: Recording, name: str) -> FeltDrive:
    """The whole laps at an even speed of a recording.

    Args:
        recording: from standing to standing on one line, all laps one way round
        name: of the recording, for messages

    Raises:
        InputError: no turning or no gravity was recorded
        Impossible: the car did not stand at both ends, did not come round whole laps, or turned both ways
    """
    if recording.turning is None:
        raise InputError(
            f"{name} tells no turning",
            found="accelerations alone",
            allowed="three columns of a gyroscope in the same file",
            todo="Export the gyroscope too, or give the laps by the watch.",
        )
    if float(np.linalg.norm(recording.acceleration.mean(axis=0))) < GRAVITY / 2:
        raise InputError(
            f"{name} has no gravity in it", found="accelerations less gravity", todo="Record the acceleration itself."
        )
    driven = _driven(recording, recording.turning, name)
    laps = tuple(_even(recording, driven))
    return FeltDrive(driven.turn, driven.standing, round(float(driven.laps[-1])), laps)


def _driven(recording: Recording, turning: Array, name: str) -> _FromAbove:
    time = recording.time
    begin, end = _standing(time, turning, name)
    before, after = turning[time <= time[begin]].mean(axis=0), turning[time >= time[end]].mean(axis=0)
    share = ((time - time[begin]) / (time[end] - time[begin])).clip(0, 1)[:, None]
    stood = (time <= time[begin]) | (time >= time[end])
    up = recording.acceleration[stood].mean(axis=0)  # in the turn it would be felt leaning
    standing = float(np.linalg.norm(up))
    spin = _smooth(turning - before * (1 - share) - after * share, time)
    # its size, as a body that leans turns about an axis that leans in it
    rate = np.sign(spin @ up) * np.linalg.norm(spin, axis=1)
    rate[:begin] = rate[end:] = 0.0
    turned = np.concatenate(([0.0], np.cumsum(0.5 * (rate[1:] + rate[:-1]) * np.diff(time)))) / tau
    both = float(np.abs(np.diff(turned)).sum())
    total = float(turned[-1])
    if both > abs(total) * 1.02 + 0.1:
        raise Impossible(
            f"{name} turns both ways, {both:.1f} laps of which {abs(total):.1f} are left over: record each way for itself."
        )
    whole = round(abs(total))
    if whole > _MOST:
        raise Impossible(f"{name} holds {whole} laps; up to {_MOST} can be counted surely: record in two parts.")
    if not whole or abs(abs(total) - whole) > min(_MOST_OFF, _SCALE * whole + _FACING):
        raise Impossible(
            f"{name} has come round {abs(total):.2f} laps, which are not whole ones: begin and end standing on one line, "
            "the car facing the same way."
        )
    sense, scale = float(np.sign(total)), whole / abs(total)
    return _FromAbove(sense, standing, turned * sense * scale, rate * sense * scale)


def _standing(time: Array, turning: Array, name: str) -> tuple[int, int]:
    """Last sample of standing at the beginning, and first of standing at the end."""
    width = _width(time)
    still = np.median(turning[time <= time[0] + _STANDS], axis=0)
    size = np.linalg.norm(turning - still, axis=1)
    smooth = _smooth(size[:, None], time)[:, 0]
    noise = float(np.median(size[time <= time[0] + _STANDS]))
    moving = np.flatnonzero(smooth > _STILL + 2 * noise)
    if not len(moving):
        raise Impossible(f"{name} does not turn at all: the car stood, or another sensor was recorded.")
    begin, end = max(0, moving[0] - width), min(len(time) - 1, moving[-1] + width)
    if time[begin] - time[0] < _STANDS / 2 or time[-1] - time[end] < _STANDS / 2:
        raise Impossible(
            f"{name} does not begin and end with the car standing: start it, wait {_STANDS:.0f} s, drive, stop on the "
            f"same line facing the same way, wait {_STANDS:.0f} s."
        )
    return int(begin), int(end)


def _width(time: Array) -> int:
    """Samples over which a shaken sensor's turning is smoothed."""
    return max(1, round(_SMOOTH / float(np.median(np.diff(time)))))


def _smooth(told: Array, time: Array) -> Array:
    """Running means of columns."""
    width = _width(time)
    return np.column_stack([np.convolve(column, np.ones(width) / width, mode="same") for column in told.T])


def _even(recording: Recording, driven: _FromAbove) -> Iterator[FeltLap]:
    """Laps at an even speed, one after the other, each once."""
    time, laps = recording.time, np.maximum.accumulate(driven.laps)
    at, last = 0.0, float(laps[-1])
    while at + 1 <= last + 1e-9:
        first, after = (int(k) for k in np.searchsorted(laps, (at, at + 1)))
        after = min(after, len(time) - 1)
        found = _lap(recording, driven, first, after)
        if found is None:
            at += _ON
        else:
            yield found
            at += 1.0


def _lap(recording: Recording, driven: _FromAbove, first: int, after: int) -> FeltLap | None:
    time, rate = recording.time[first : after + 1], driven.rate[first : after + 1]
    if len(time) < 30:
        return None
    mean = float(np.trapezoid(rate, time) / (time[-1] - time[0]))
    third = len(time) // 3
    begins, ends = float(rate[:third].mean()), float(rate[-third:].mean())
    parts = np.array([part.mean() for part in np.array_split(rate, 12)])
    if mean < _SLOWEST or float(parts.std()) > _UNEVEN * mean or abs(ends - begins) > _UNEVEN * mean:
        return None
    span = float(time[-1] - time[0])
    felt = np.asarray(np.trapezoid(recording.acceleration[first : after + 1], time, axis=0)) / span
    steering = None
    if recording.steering is not None:
        steering = float(np.trapezoid(recording.steering[first : after + 1], time)) / span
    square = float(np.mean(parts**2))  # of means over a twelfth of a lap: the sensor's noise is not in it
    return FeltLap(float(time[0]), span, square, felt, steering)
