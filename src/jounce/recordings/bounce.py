"""What a bounced car tells of one axle: spring, damping and dry friction, by the swings after several pushes.

The logarithmic decrement is not used: the first peak of a damped acceleration does not lie on its envelope, and it tells
dry friction as damping.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares
from scipy.special import stdtrit

from jounce.conventions.errors import Impossible
from jounce.numerics.arrays import Array
from jounce.recordings.free_swing import Underneath, swing
from jounce.recordings.pushes import Swings, released
from jounce.recordings.sensor_csv import Recording

__all__ = ["MOST_DAMPED", "Bounce", "Estimate", "Push", "bounced"]

MOST_DAMPED = 0.4
"""Above it a car swings too little for a number [-]."""
_FEWEST = 3  # pushes that agree
_LOW, _HIGH = (0.5, 0.0, 0.0), (5.0, 1.2, 2.0)  # frequency [Hz], damping ratio [-], friction per mass [m/s²]
_STARTS = ((0.15, 0.02), (0.35, 0.05), (0.2, 0.25))  # damping ratio and friction from which a fit begins
_OFF = 3.5  # a push so many median deviations from the others is left out
_POOR = 0.35  # of the swings' own size, root mean square: what is left over is no free swing
_LEAST_SPREAD = 0.02  # of the frequency: pushes closer together than this agree [-]
_MODEL = (0.01, 0.015, 0.02)
"""What the model may say wrongly, one standard deviation: share of the frequency, of the ratio, of friction [m/s²]."""


@dataclass(frozen=True, slots=True)
class Push:
    """One push.

    Attributes:
        start: moment of the recording at which the swings begin [s]
        frequency: of the body on its springs alone, undamped [Hz]
        ratio: damping ratio on the springs alone, dry friction left out [-]
        friction: dry friction per mass of the body [m/s²]
        left_over: what the curve leaves of the swings, root mean square over root mean square [-]
        why_not: in words why it is left out; empty for one that counts

    """

    start: float
    frequency: float
    ratio: float
    friction: float
    left_over: float
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number and the half width that holds nine of ten."""

    value: float
    plus_minus: float


@dataclass(frozen=True, slots=True)
class Bounce:
    """What several pushes say together.

    Attributes:
        pushes: every push, in the order of time
        frequency: of the body on its springs alone, undamped [Hz]
        ratio: damping ratio on the springs alone, dry friction left out [-]
        friction: dry friction per mass of the body [m/s²]

    """

    pushes: tuple[Push, ...]
    frequency: Estimate
    ratio: Estimate
    friction: Estimate

    @property
    def well_damped(self) -> bool:
        """Whether the car swings too little for its damping to be told as a number."""
        return self.ratio.value > MOST_DAMPED


def bounced(recording: Recording, wheel: Underneath) -> Bounce:
    """What a recording of a bounced car tells.

    Args:
        recording: the phone flat on the sill above the axle: pushed down and let go, five or six times
        wheel: what is under the body there, from the car's file

    Raises:
        Impossible: fewer than three pushes that agree
    """
    pushes = _agreeing([_fitted(swings, wheel) for swings in released(recording)])
    good = [push for push in pushes if not push.why_not]
    if len(good) < _FEWEST:
        raise Impossible(
            f"{len(good)} of {len(pushes)} pushes were followed by swings that agree; {_FEWEST} are needed. Push the car "
            "down above the axle, let go and wait until it stands still; five or six times."
        )
    frequencies = np.array([push.frequency for push in good])
    return Bounce(
        tuple(pushes),
        _together(frequencies, _MODEL[0] * float(np.median(frequencies))),
        _together(np.array([push.ratio for push in good]), _MODEL[1]),
        _together(np.array([push.friction for push in good]), _MODEL[2]),
    )


def _together(values: Array, model: float) -> Estimate:
    """Median of some pushes with its band: their spread, told by so few of them, and what the model may say wrongly."""
    spread = 1.2533 * float(np.std(values, ddof=1)) / np.sqrt(len(values))  # a median of normal values
    wide = float(np.hypot(stdtrit(len(values) - 1, 0.95) * spread, 1.645 * model))
    return Estimate(float(np.median(values)), wide)


def _agreeing(pushes: Sequence[Push]) -> list[Push]:
    """The pushes with those told apart that are no free swing, or far off the others."""
    fair = [push for push in pushes if push.left_over < _POOR]
    if not fair:
        return [replace(push, why_not="no free swing follows") for push in pushes]
    middle = float(np.median([push.frequency for push in fair]))
    usual = 1.4826 * float(np.median([abs(push.frequency - middle) for push in fair]))
    most = _OFF * max(usual, _LEAST_SPREAD * middle)
    told = []
    for push in pushes:
        why = ""
        if push not in fair:
            why = "no free swing follows: the hand may still have been on the car"
        elif abs(push.frequency - middle) > most:
            why = f"{push.frequency:.2f} Hz lies far off the others"
        told.append(replace(push, why_not=why))
    return told


def _fitted(swings: Swings, wheel: Underneath) -> Push:
    """The spring, damper and friction whose swing comes nearest, by least squares that few bad samples do not pull."""
    time, measured = swings.time, swings.acceleration
    size = float(np.sqrt(np.mean(measured**2)))
    noise = max(0.02 * size, 0.02)

    def told(unknown: Array) -> Array:
        frequency, ratio, friction, place, speed = (float(one) for one in unknown)
        turning = 2 * np.pi * frequency
        return swing(time, wheel, (turning**2, 2 * ratio * turning, friction), place, speed)

    def apart(unknown: Array) -> Array:
        return np.asarray((told(unknown) - measured) / noise)

    first = _first_frequency(time, measured)
    tries = []
    for ratio, friction in _STARTS:
        start = np.array([first, ratio, friction, -float(measured[0]) / (2 * np.pi * first) ** 2, 0.0])
        tries.append(
            least_squares(
                apart,
                start,
                bounds=([*_LOW, -0.3, -3.0], [*_HIGH, 0.3, 3.0]),
                x_scale=[0.1, 0.05, 0.05, 0.005, 0.02],
                loss="soft_l1",
                f_scale=3.0,
            )
        )
    best = min(tries, key=lambda one: one.cost)
    frequency, ratio, friction = (float(value) for value in best.x[:3])
    left = float(np.sqrt(np.mean((told(best.x) - measured) ** 2)))
    return Push(swings.start, frequency, ratio, friction, left / size)


def _first_frequency(time: Array, measured: Array) -> float:
    """A frequency to begin with, by how long the acceleration takes from one change of sign to the next [Hz]."""
    changes = np.flatnonzero(np.diff(np.sign(measured)) != 0)
    if len(changes) < 2:
        return 1.5
    half = float(time[changes[1]] - time[changes[0]])
    return float(np.clip(0.5 / max(half, 1e-3), 0.8, 3.0))
