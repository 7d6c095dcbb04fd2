"""A torsional spring turned by a lever whose end goes up and down: the rate changes with the lever's angle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import check_range
from jounce.conventions.units import DEG
from jounce.elements.springs.limits import check_length, check_not_negative
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class LeveredBar:
    """A torsional spring under a lever, as a law over the height of the lever's end above level [m].

    ``rate`` of the spring in N m/rad, ``lever`` in m, ``slack_angle`` of the lever from level where the spring carries
    nothing, positive upwards, in rad. A fixed bar holds both ways. The load is vertical and the lever's bearing is
    fixed: an arm alone, without the rest of a linkage.

    ``F = k (th - th0) / (R cos th)``, ``dF/dz = k (1 + (th - th0) tan th) / (R² cos² th)``, ``z = R sin th``

    Source: SAE, Spring Design Manual, torsion-bar springs (quoted from memory; derived again from the energy).

    >>> bar = LeveredBar(rate=1568.3179, lever=0.300, slack_angle=-40 * DEG)
    >>> height = bar.height(-10 * DEG)
    >>> round(float(bar.force(height)), 3), round(float(bar.stiffness(height)), 2)
    (2779.457, 16308.7)
    """

    rate: float | Array
    lever: float | Array
    slack_angle: float | Array = 0.0

    def __post_init__(self) -> None:
        check_not_negative("torsional rate", self.rate, "N m/rad")
        check_length("lever", self.lever, 0.010, 2.0)
        _check_angle("lever angle without load", self.slack_angle, 180.0)

    def height(self, angle: float | Array) -> Array:
        """Height of the lever's end above level for a lever angle [rad], in m."""
        return np.asarray(self.lever * np.sin(angle))

    def angle(self, height: float | Array) -> Array:
        """Angle of the lever for the height of its end above level [m], in rad."""
        return np.asarray(np.arcsin(np.asarray(height) / self.lever))

    def energy(self, displacement: Array) -> Array:
        """Stored energy ``k (th - th0)² / 2`` [J]."""
        twist = self.angle(displacement) - self.slack_angle
        return np.asarray(0.5 * self.rate * twist**2)

    def force(self, displacement: Array) -> Array:
        """Vertical force on the lever's end [N]."""
        angle = self.angle(displacement)
        return np.asarray(self.rate * (angle - self.slack_angle) / (self.lever * np.cos(angle)))

    def stiffness(self, displacement: Array) -> Array:
        """Vertical rate at the lever's end, both terms [N/m]."""
        angle = self.angle(displacement)
        second = 1 + (angle - self.slack_angle) * np.tan(angle)
        return np.asarray(self.rate * second / (self.lever * np.cos(angle)) ** 2)


def levered_under_load(
    rate: float | Array, lever: float | Array, angle: float | Array, load: float | Array
) -> LeveredBar:
    """The levered spring that carries a load with its lever at an angle: ``th0 = th - F R cos th / k``.

    Args:
        rate: k of the spring [N m/rad]
        lever: R [m]
        angle: th of the lever from level under the load, positive upwards [rad]
        load: F, vertical, on the lever's end [N]

    Returns:
        The spring with the angle at which it is slack

    Raises:
        InputError: a lever within 5 degrees of upright, where a vertical load has no arm

    """
    _check_angle("lever angle", angle, 85.0)
    return LeveredBar(rate, lever, np.asarray(angle - np.asarray(load) * lever * np.cos(angle) / rate))


def torsional_rate_at_lever(
    rate: float | Array, lever: float | Array, angle: float | Array = 0.0, load: float | Array = 0.0
) -> Array:
    """Torsional rate that gives a vertical rate at the end of a loaded lever.

    ``k = c R² cos² th - F R sin th``

    Args:
        rate: wanted vertical rate c [N/m]
        lever: R [m]
        angle: th of the lever from level, positive upwards [rad]
        load: F, vertical, on the lever's end [N]

    Returns:
        Torsional rate k, negative where the load alone stiffens the lever by more than is wanted [N m/rad]

    Raises:
        InputError: a lever within 5 degrees of upright

    >>> round(float(torsional_rate_at_lever(16308.70, 0.300, -10 * DEG, 2779.457)), 2)
    1568.32

    """
    _check_angle("lever angle", angle, 85.0)
    return np.asarray(rate * (np.asarray(lever) * np.cos(angle)) ** 2 - np.asarray(load) * lever * np.sin(angle))


def _check_angle(name: str, angle: float | Array, most: float) -> None:
    check_range(name, np.asarray(angle) / DEG, -most, most, "deg", "Measure it from level, positive upwards.")
