"""A damper curve by slope, knee and slope: what is told of a damper where no test sheet is at hand."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import check_range
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.numerics.arrays import Array

_CHECK = "Check the number and its unit."


@dataclass(frozen=True, slots=True)
class Knee:
    """One direction of a damper: ``F = slow v`` up to the knee, ``F = slow v_k + fast (v - v_k)`` beyond it.

    ``slow`` and ``fast`` are slopes [N s/m], ``knee`` the rod speed v_k [m/s] at which the valves open.
    """

    slow: float
    knee: float
    fast: float

    def __post_init__(self) -> None:
        check_range("slope of the damper below its knee", self.slow, 1, 200_000, "N·s/m", _CHECK)
        check_range("slope of the damper beyond its knee", self.fast, 0, 200_000, "N·s/m", _CHECK)
        check_range("knee speed of the damper", self.knee, 0.002, 5, "m/s", _CHECK)

    def force(self, speed: float | Array) -> Array:
        """Force over rod speed without sign [m/s], in N."""
        v = np.asarray(speed)
        return np.asarray(self.slow * np.minimum(v, self.knee) + self.fast * np.maximum(v - self.knee, 0.0))


def knee_curve(bump: Knee, rebound: Knee, known_to: float = 1.05) -> ForceVelocity:
    """The curve of two knees, exactly: its rows are the knees and the speed up to which they are meant to hold.

    Args:
        bump: the damper shortening
        rebound: the damper lengthening
        known_to: rod speed up to which the slopes hold [m/s]

    Raises:
        InputError: the slopes do not even hold to their knees

    >>> curve = knee_curve(Knee(1200, 0.1, 400), Knee(3000, 0.15, 900))
    >>> curve.force(np.array([0.1, 0.3, -0.15, -0.65])).round(6).tolist()
    [120.0, 200.0, -450.0, -900.0]

    """
    highest = max(bump.knee, rebound.knee)
    check_range("rod speed up to which the slopes hold", known_to, highest, 10, "m/s", "It cannot lie below a knee.")
    speed = np.unique([bump.knee, rebound.knee, known_to])
    return ForceVelocity(speed, bump.force(speed), rebound.force(speed))
