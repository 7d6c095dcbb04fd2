"""Shapes of bump stops by a few numbers, for rubber whose curve was never measured; no maker's data among them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import MM, N_PER_MM
from jounce.elements.law import ElementLaw, OneSided, Parallel
from jounce.elements.linear_extrapolation import LinearExtrapolation
from jounce.elements.power_integral import power_integral
from jounce.elements.root import where_it_reaches
from jounce.elements.springs.limits import check_length
from jounce.numerics.arrays import Array

SOLID_RATE = 1e6
"""Rate once the rubber is solid, unless told: metal on metal with what gives around it; common practice [N/m]."""

_CHECK = "Check the number and its unit."


@dataclass(frozen=True, slots=True)
class HardeningRubber:
    """Rubber that runs out of height: ``F = k x (1 - x/H)^-n``.

    ``first_rate`` k [N/m] is the slope at touch, ``hardening`` n [-] how early it grows hard, ``solid`` H [m] the
    compression at which no height is left to give and the force has no bound. Fields are one value or one per variant;
    displacements stay below ``solid``: see `hardening_stop` for what goes on beyond.

    >>> rubber = HardeningRubber(first_rate=20e3, hardening=1.0, solid=0.040)
    >>> rubber.force(np.array([-0.01, 0.010, 0.020])).round(6).tolist()
    [0.0, 266.666667, 800.0]
    """

    first_rate: float | Array
    hardening: float | Array
    solid: float | Array

    def energy(self, displacement: Array) -> Array:
        """``k H² ∫ s (1 - s)^-n ds`` in closed form [J]."""
        share, log_left = self._shares(displacement)
        n = np.asarray(self.hardening)
        area = power_integral(log_left, 2 - n) - power_integral(log_left, 1 - n)
        return np.asarray(np.where(np.real(share) > 0, self.first_rate * np.asarray(self.solid) ** 2 * area, 0.0))

    def force(self, displacement: Array) -> Array:
        """Force over the compression from touch [N]."""
        share, log_left = self._shares(displacement)
        return np.asarray(self.first_rate * self.solid * share * np.exp(-self.hardening * log_left))

    def stiffness(self, displacement: Array) -> Array:
        """``k (1 - s)^(-n - 1) (1 + (n - 1) s)`` with ``s = x/H``, zero before touch [N/m]."""
        share, log_left = self._shares(displacement)
        n = np.asarray(self.hardening)
        steep = self.first_rate * np.exp(-(n + 1) * log_left) * (1 + (n - 1) * share)
        return np.asarray(np.where(np.real(share) > 0, steep, 0.0))

    def _shares(self, displacement: Array) -> tuple[Array, Array]:
        """Share of the height that is used, zero before touch, and the logarithm of what is left."""
        share = np.asarray(displacement / np.asarray(self.solid))
        share = np.asarray(np.where(np.real(share) > 0, share, 0.0))
        return share, np.log1p(-share)


def hardening_stop(
    first_rate: float | Array, hardening: float | Array, solid: float | Array, solid_rate: float | Array = SOLID_RATE
) -> LinearExtrapolation:
    """Hardening rubber up to where it is as steep as what it stands on, straight on from there.

    ``F = k x (1 - x/H)^-n`` while its slope is below ``solid_rate``: no step in force or slope.

    Args:
        first_rate: k, slope at touch, one value or one per variant [N/m]
        hardening: n, likewise [-]
        solid: H, compression that would leave no height, likewise [m]
        solid_rate: slope of the solid rubber, likewise [N/m]

    Returns:
        The law over the compression from touch

    Raises:
        InputError: a rate, exponent or height that no rubber has, or no harder solid than at touch

    >>> law = hardening_stop(20e3, 1.0, 0.040)
    >>> law.force(np.array([0.020, 0.040])).round(3).tolist()
    [800.0, 10513.708]

    """
    _check_rate("first rate of the bump stop", first_rate)
    check_range(
        "hardening of the bump stop", np.asarray(hardening).real, 0.05, 10, "", "1 is usual: the force doubles at half."
    )
    check_length("solid compression of the bump stop", np.asarray(solid).real, 0.001, 0.5)
    _check_solid_rate(first_rate, solid_rate)
    rubber = HardeningRubber(first_rate, hardening, solid)
    return LinearExtrapolation(rubber, solid * _share_at_slope(hardening, np.asarray(solid_rate) / first_rate))


def _share_at_slope(hardening: float | Array, steeper: Array) -> Array:
    """Share of the height at which the rubber is so much steeper than at touch."""
    n, goal = np.broadcast_arrays(np.asarray(hardening), np.log(np.asarray(steeper)))

    def rise(share: Array, n: Array) -> Array:
        return np.asarray(-(n + 1) * np.log1p(-share) + np.log1p((n - 1) * share))

    def slope(share: Array, n: Array) -> Array:
        return np.asarray((n + 1) / (1 - share) + (n - 1) / (1 + (n - 1) * share))

    real, wanted = np.real(n), np.real(goal)
    low, high = np.zeros_like(wanted), np.full_like(wanted, 1 - 1e-9)
    share = where_it_reaches(lambda s: rise(s, real), lambda s: slope(s, real), wanted, low, high)
    # One more step in the numbers as they are carries their perturbations.
    return np.asarray(share - (rise(share, n) - goal) / slope(share, n))


@dataclass(frozen=True, slots=True)
class TwoStageRubber:
    """Soft foam, then hard rubber: one rate, another, and a straight change of rate between them.

    The rate is ``soft_rate`` [N/m] until half of ``blend`` before ``hard_from`` and ``hard_rate`` [N/m] from half of
    ``blend`` [m] behind it; between them it changes in proportion to the compression. Far from the change the force is
    that of two straight lines that meet at ``hard_from`` [m]. Fields are one value or one per variant.

    >>> stop = TwoStageRubber(soft_rate=10e3, hard_rate=110e3, hard_from=0.020, blend=0.010)
    >>> stop.force(np.array([-0.01, 0.010, 0.020, 0.030])).round(6).tolist()
    [0.0, 100.0, 325.0, 1300.0]
    """

    soft_rate: float | Array
    hard_rate: float | Array
    hard_from: float | Array
    blend: float | Array

    def __post_init__(self) -> None:
        _check_rate("soft rate of the bump stop", self.soft_rate)
        _check_rate("hard rate of the bump stop", self.hard_rate)
        check_length("compression at which the bump stop grows hard", np.asarray(self.hard_from).real, 0.001, 0.5)
        check_length("blend of the bump stop", np.asarray(self.blend).real, 0.0001, 1.0)
        if np.any(0.5 * np.asarray(self.blend).real > np.asarray(self.hard_from).real * (1 + 1e-12)):
            raise InputError(
                "The change of rate of a bump stop begins before touch",
                found=f"a blend of {float(np.max(np.asarray(self.blend).real)) / MM:.6g} mm",
                allowed="up to twice the compression at which it grows hard",
                todo="Shorten the blend.",
            )

    def energy(self, displacement: Array) -> Array:
        """Stored energy, cubic within the blend [J]."""
        pressed, changing, beyond = self._parts(displacement)
        more = changing**3 / (6 * np.asarray(self.blend)) + 0.5 * changing * beyond + 0.5 * beyond**2
        return np.asarray(0.5 * self.soft_rate * pressed**2 + self._more_rate * more)

    def force(self, displacement: Array) -> Array:
        """Force over the compression from touch [N]."""
        pressed, changing, beyond = self._parts(displacement)
        more = changing**2 / (2 * np.asarray(self.blend)) + beyond
        return np.asarray(self.soft_rate * pressed + self._more_rate * more)

    def stiffness(self, displacement: Array) -> Array:
        """Slope of the force, zero before touch [N/m]."""
        pressed, changing, _ = self._parts(displacement)
        steep = self.soft_rate + self._more_rate * changing / np.asarray(self.blend)
        return np.asarray(np.where(np.real(pressed) > 0, steep, 0.0))

    @property
    def _more_rate(self) -> Array:
        return np.asarray(np.asarray(self.hard_rate) - self.soft_rate)

    def _parts(self, displacement: Array) -> tuple[Array, Array, Array]:
        """Compression, its part within the blend, its part beyond it; none below zero."""
        pressed = _above_zero(np.asarray(displacement))
        into = _above_zero(pressed - np.asarray(self.hard_from) + 0.5 * np.asarray(self.blend))
        beyond = _above_zero(into - np.asarray(self.blend))
        return pressed, np.asarray(into - beyond), beyond


def with_solid(law: ElementLaw, solid: float | Array, solid_rate: float | Array = SOLID_RATE) -> Parallel:
    """A stop on which metal meets metal beyond a compression: a stiff straight spring beside the rubber's own force.

    The slope has a step there.

    Args:
        law: the rubber, over its compression from touch
        solid: compression at which it is solid, one value or one per variant [m]
        solid_rate: rate of the contact, likewise [N/m]

    Raises:
        InputError: a compression or rate that no stop has

    """
    check_length("solid compression of the bump stop", np.asarray(solid).real, 0.001, 0.5)
    _check_rate("solid rate of the bump stop", solid_rate)
    return Parallel((law, OneSided(rate=solid_rate, start=solid)))


def _above_zero(value: Array) -> Array:
    return np.asarray(np.where(np.real(value) > 0, value, 0.0))


def _check_rate(name: str, rate: float | Array) -> None:
    check_range(name, np.real(np.asarray(rate)) / N_PER_MM, 0.1, 1e5, "N/mm", _CHECK)


def _check_solid_rate(first_rate: float | Array, solid_rate: float | Array) -> None:
    _check_rate("solid rate of the bump stop", solid_rate)
    first, solid = np.broadcast_arrays(np.real(np.asarray(first_rate)), np.real(np.asarray(solid_rate)))
    bad = np.flatnonzero(solid <= first)
    if bad.size:
        raise InputError(
            "A bump stop is not harder solid than at touch",
            found=f"{solid.flat[bad[0]] / N_PER_MM:.6g} N/mm solid",
            allowed=f"more than its first rate, {first.flat[bad[0]] / N_PER_MM:.6g} N/mm",
            todo=_CHECK,
        )
