"""Accelerations, and turning where it is there, that a sensor recorder wrote as CSV, whatever it calls its columns."""

from __future__ import annotations

import csv
import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import InputError, at
from jounce.numerics.arrays import Array

__all__ = ["Recording", "parse_recording"]

_LOOKED_FOR_HEAD = 60  # lines
_FEWEST = 50  # samples: less than a second of the slowest recorder
_UNEVEN = 3.0  # a step longer than so many usual ones is a gap that no curve is drawn over
_FEWEST_GAPS = 3  # of a recording that counts as whole
_SLOWEST = 20.0  # samples a second: two a swing's quarter
_STEPS = {"s": 1.0, "ms": 1e-3, "us": 1e-6, "ns": 1e-9}
_TIME = re.compile(r"^(?:t|time|timestamp|seconds?[ _]?elapsed|elapsed|epoch|date)(?![a-z])", re.IGNORECASE)
_AXIS = re.compile(r"(?:^a?|[ _\-.]a?|acc(?:el(?:eration)?)?)([xyz])(?:$|[ _\-.(\[])", re.IGNORECASE)
_ACCELERATION = re.compile(r"acc", re.IGNORECASE)
_OTHER_SENSOR = re.compile(r"gyro|rot|mag|angle|orient|attitude|uncalib", re.IGNORECASE)
_IN_G = re.compile(r"[\[(]\s*g\s*[\])]")
_TURNING = re.compile(r"gyro|rot(?:ation)?[ _\-]?rate|angular|turning", re.IGNORECASE)
_TURNING_AXIS = re.compile(r"(?:[ _\-.]|gyro(?:scope)?|rate)([xyz])(?:$|[ _\-.(\[])", re.IGNORECASE)
_STEERING = re.compile(r"steer", re.IGNORECASE)
_RADIANS, _DEGREES = re.compile(r"rad", re.IGNORECASE), re.compile(r"deg|°", re.IGNORECASE)
_FASTEST = 3.0  # rad/s: no car turns so fast, so a larger number is one of degrees


@dataclass(frozen=True, slots=True)
class Recording:
    """What was recorded.

    Attributes:
        time: rising, from zero, shape (samples,) [s]
        acceleration: along the sensor's three axes, gravity in it or not, shape (samples, 3) [m/s²]
        remarks: what had to be guessed, in words
        turning: rates of turning about the same axes, shape (samples, 3) [rad/s]; None where they were not recorded
        steering: angle of the steering wheel as the file has it, shape (samples,) [rad]; None likewise

    """

    time: Array
    acceleration: Array
    remarks: tuple[str, ...] = ()
    turning: Array | None = None
    steering: Array | None = None

    @property
    def rate(self) -> float:
        """Samples a second [Hz]."""
        return float(1 / np.median(np.diff(self.time)))

    @property
    def vertical(self) -> Array:
        """Acceleration upwards, gravity taken off, shape (samples,) [m/s²].

        Where gravity is in it, its mean tells which way is up; where it is not, the axis that moves most is taken, and its
        sense is not known.
        """
        mean = self.acceleration.mean(axis=0)
        moving = self.acceleration - mean
        strength = float(np.linalg.norm(mean))
        if strength > GRAVITY / 2:
            return np.asarray(moving @ (mean / strength))
        _, _, axes = np.linalg.svd(moving, full_matrices=False)
        return np.asarray(moving @ axes[0])


def parse_recording(text: str) -> Recording:
    """A recording from the text of its file.

    Args:
        text: CSV with a column of times and three of accelerations under a head; three of turning rates and one of the
            steering wheel's angle are read where they are there, further ones left out

    Raises:
        InputError: no such columns, cells that are no numbers, gaps, or too few samples
    """
    sign = next((s for s in (";", "\t") if text.count(s) >= max(1, len(text.splitlines()) // 2)), ",")
    lines = [[cell.strip() for cell in row] for row in csv.reader(text.splitlines(), delimiter=sign)]
    number, clock, axes = _head(lines)
    head = lines[number]
    besides = _besides(head)
    times: list[float] = []
    rows: list[list[float]] = []
    dated = False
    for line, cells in enumerate(lines[number + 1 :], start=number + 2):
        if not any(cells):
            continue
        with at(f"line {line}"):
            if max(clock, *axes, *besides) >= len(cells):
                raise InputError("This line is shorter than the head", found=f"{len(cells)} cells", todo="Repair it.")
            moment, is_date = _moment(cells[clock], decimal_comma=sign != ",")
            dated |= is_date
            times.append(moment)
            own = [_number(cells[axis], decimal_comma=sign != ",") for axis in axes]
            rows.append([*own, *(_number_or_none(cells[k], decimal_comma=sign != ",") for k in besides)])
    if len(times) < _FEWEST:
        raise InputError(
            "The recording is too short",
            found=f"{len(times)} samples",
            allowed=f"{_FEWEST} and more",
            todo="Record again.",
        )
    time, told_step = _seconds(np.array(times), head[clock], dated=dated)
    time, told = _in_order(time, np.array(rows))
    acceleration = told[:, :3] * (GRAVITY if any(_IN_G.search(head[axis]) for axis in axes) else 1.0)
    extra = {name: told[:, 3:][:, [k for k, one in enumerate(besides.values()) if one == name]] for name in _BESIDES}
    turning, guessed = _turning(extra["turning"], [head[k] for k, name in besides.items() if name == "turning"])
    steering = _steering(extra["steering"], [head[k] for k, name in besides.items() if name == "steering"])
    remarks = tuple(filter(None, (told_step, guessed)))
    return Recording(time - time[0], acceleration, remarks, turning, steering)


_BESIDES = ("turning", "steering")


def _besides(head: Sequence[str]) -> dict[int, str]:
    """Columns of turning rates about x, y, z, and of the steering wheel's angle, where the head names them."""
    axes: dict[str, int] = {}
    steering = next((k for k, cell in enumerate(head) if _STEERING.search(cell)), None)
    for k, cell in enumerate(head):
        letter = _TURNING_AXIS.search(cell)
        if letter and _TURNING.search(cell) and letter[1].lower() not in axes:
            axes[letter[1].lower()] = k
    found = {axes[letter]: "turning" for letter in "xyz"} if len(axes) == 3 else {}
    return found if steering is None else found | {steering: "steering"}


def _turning(told: Array, heads: Sequence[str]) -> tuple[Array | None, str]:
    """Turning rates [rad/s], and how their unit was found where the head does not say it."""
    if not heads or not np.isfinite(told).all():
        return None, ""
    if any(_DEGREES.search(head) for head in heads):
        return np.radians(told), ""
    if any(_RADIANS.search(head) for head in heads):
        return told, ""
    size = float(np.quantile(np.linalg.norm(told, axis=1), 0.95))
    unit = "degrees" if size > _FASTEST else "radians"
    guessed = f"The head does not say the unit of turning: up to {size:.2g} was taken as {unit} a second."
    return (np.radians(told) if unit == "degrees" else told), guessed


def _steering(told: Array, heads: Sequence[str]) -> Array | None:
    """Angle of the steering wheel [rad]; degrees where the head does not name radians."""
    if not heads or not np.isfinite(told).all():
        return None
    return told[:, 0] if _RADIANS.search(heads[0]) else np.radians(told[:, 0])


def _head(lines: Sequence[list[str]]) -> tuple[int, int, tuple[int, int, int]]:
    """Line of the head, and columns of time and of the three axes."""
    for number, cells in enumerate(lines[:_LOOKED_FOR_HEAD]):
        clock = next((k for k, cell in enumerate(cells) if _TIME.search(cell.strip('"'))), None)
        if clock is None:
            continue
        axes: dict[str, int] = {}
        named = any(_ACCELERATION.search(cell) for cell in cells)
        for k, cell in enumerate(cells):
            letter = _AXIS.search(cell)
            right = _ACCELERATION.search(cell) if named else not _OTHER_SENSOR.search(cell)
            if k != clock and letter and right and letter[1].lower() not in axes:
                axes[letter[1].lower()] = k
        if len(axes) == 3:
            return number, clock, (axes["x"], axes["y"], axes["z"])
    raise InputError(
        "No head names a time and three accelerations",
        found="; ".join(", ".join(cells) for cells in lines[:2])[:80] or "an empty file",
        allowed='columns such as "time, x, y, z" or "Time (s); Acceleration x (m/s^2); …"',
        todo="Add a head above the numbers, or export the recording with one.",
    )


def _moment(cell: str, *, decimal_comma: bool) -> tuple[float, bool]:
    """A time as a number, or a date and time of day as seconds; and whether it was a date."""
    text = cell.replace(",", ".") if decimal_comma else cell
    try:
        return float(text), False
    except ValueError:
        pass
    try:
        return dt.datetime.fromisoformat(cell.strip('"')).timestamp(), True
    except ValueError:
        raise InputError(
            "This is no time",
            found=f'"{cell}"',
            allowed="a number, or a date as 2026-05-04T10:30:12.250",
            todo="Correct it.",
        ) from None


def _number_or_none(cell: str, *, decimal_comma: bool) -> float:
    """A number, or no number: what only stands beside the accelerations does not stop the file."""
    try:
        return float(cell.replace(",", ".") if decimal_comma else cell)
    except ValueError:
        return float("nan")


def _number(cell: str, *, decimal_comma: bool) -> float:
    value = _number_or_none(cell, decimal_comma=decimal_comma)
    if not np.isfinite(value):
        raise InputError("This cell is no number", found=f'"{cell}"', todo="Correct the line or leave it out.")
    return value


def _seconds(times: Array, head: str, *, dated: bool) -> tuple[Array, str]:
    """Times in seconds, and how the unit was found where the head does not say it."""
    if dated:
        return times, ""
    unit = re.search(
        r"[\[(_ ](s|ms|us|µs|ns|seconds|milliseconds|nanoseconds)[\])]?\s*$", head.strip('"'), re.IGNORECASE
    )
    words = {"seconds": "s", "milliseconds": "ms", "nanoseconds": "ns", "µs": "us"}
    if unit is not None:
        word = unit[1].lower()
        return times * _STEPS[words.get(word, word)], ""
    step = float(np.median(np.diff(times)))
    guessed = next((name for name, most in (("s", 0.2), ("ms", 200.0), ("us", 2e5)) if step < most), "ns")
    return times * _STEPS[
        guessed
    ], f"The head does not say the unit of time: steps of {step:g} were taken as {guessed}."


def _in_order(time: Array, acceleration: Array) -> tuple[Array, Array]:
    """Samples in the order of time, each moment once, without gaps.

    Raises:
        InputError: there are gaps, or samples are too far apart
    """
    time, first = np.unique(time, return_index=True)
    acceleration = acceleration[first]
    if len(time) < _FEWEST:
        raise InputError("The recording tells the same moments again and again", todo="Export it with finer times.")
    steps = np.diff(time)
    usual = float(np.median(steps))
    gaps = int(np.sum(steps > _UNEVEN * usual))
    if gaps >= _FEWEST_GAPS and gaps > len(steps) // 200:
        raise InputError(
            "The recording has gaps",
            found=f"{gaps} steps of more than {_UNEVEN:g} times the usual {usual * 1e3:.1f} ms",
            todo="Record again with nothing else running on the phone.",
        )
    if 1 / usual < _SLOWEST:
        raise InputError(
            "The recording is too slow",
            found=f"{1 / usual:.1f} samples a second",
            allowed=f"{_SLOWEST:g} and more",
            todo="Choose the fastest rate of the recorder.",
        )
    return time, acceleration
