"""Bump stops: rubber that touches after a gap and then pushes back ever harder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.polynomial.polynomial import polyder, polyroots, polyval

from jounce.conventions.errors import InputError
from jounce.conventions.units import MM
from jounce.elements.piecewise import Piecewise, monotone_cubic
from jounce.elements.springs.limits import check_length
from jounce.elements.springs.progressive import ProgressiveCurve
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class BumpStop:
    """A bump stop by rows of compression [m] and force [N], shape (rows,) each.

    Between the rows the force is a monotone cubic (PCHIP) with a continuous slope that invents no hump; beyond the last
    row it goes straight on with the last slope; before touch it is zero. A table that does not begin with no force at
    no compression gets that row.

    Source: Fritsch & Carlson, Monotone piecewise cubic interpolation, SIAM J. Numer. Anal. 17 (1980).

    >>> stop = BumpStop(np.array([0.0, 0.010, 0.020, 0.030]), np.array([0.0, 200.0, 800.0, 2400.0]))
    >>> stop.force(np.array([-0.005, 0.010, 0.020, 0.030])).round(9).tolist()
    [0.0, 200.0, 800.0, 2400.0]
    """

    compression_points: Array
    force_points: Array
    _curve: ProgressiveCurve = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        compression, force = (np.asarray(x, dtype=np.float64) for x in (self.compression_points, self.force_points))
        _check_rows(compression, force)
        if compression[0] > 0:
            compression, force = np.append(0.0, compression), np.append(0.0, force)
        object.__setattr__(self, "_curve", ProgressiveCurve(monotone_cubic(compression, force)))

    @property
    def progressive(self) -> ProgressiveCurve:
        """The curve through the rows."""
        return self._curve

    @property
    def reach(self) -> float:
        """Compression of the last row: beyond it nothing was measured [m]."""
        return self._curve.reach

    def energy(self, displacement: Array) -> Array:
        """Stored energy over the compression from touch [J]."""
        return self._curve.energy(displacement)

    def force(self, displacement: Array) -> Array:
        """Force over the compression from touch [N]."""
        return self._curve.force(displacement)

    def stiffness(self, displacement: Array) -> Array:
        """Slope of the force over the compression from touch [N/m]."""
        return self._curve.stiffness(displacement)


def polynomial_stop(coefficients: Sequence[float], reach: float) -> ProgressiveCurve:
    """A stop whose force is a polynomial of its compression, exactly.

    ``F = c1 x + c2 x² + …`` up to ``reach``, straight on beyond it

    Args:
        coefficients: c1, c2, … [N/m, N/m², …]
        reach: compression up to which the polynomial holds [m]

    Returns:
        The law over the compression from touch

    Raises:
        InputError: no coefficients, a force that falls somewhere up to ``reach``

    >>> float(polynomial_stop([0.0, 2e6], reach=0.030).force(np.array(0.020)).round(9))
    800.0

    """
    check_length("reach of the bump stop", reach, 0.0005, 0.5)
    if not coefficients or not np.all(np.isfinite(coefficients)):
        raise InputError("A bump stop needs finite coefficients", found=str(list(coefficients)), todo="Give c1, c2, ….")
    force: Array = np.array([0.0, *coefficients], dtype=np.float64)
    _check_rising(force, reach)
    return ProgressiveCurve(Piecewise(np.array([0.0, reach]), force[:, None]))


def _check_rising(force: Array, reach: float) -> None:
    """Look at the slope where it can be smallest: at both ends and where its own slope vanishes."""
    scaled: Array = np.asarray(
        force * reach ** np.arange(len(force)), dtype=np.float64
    )  # over the share of the reach all terms are newtons
    slope = polyder(scaled)
    turning = _roots_inside(np.asarray(polyder(slope), dtype=np.float64))
    places = np.array([0.0, *turning, 1.0])
    slopes = polyval(places, slope) / reach
    worst = int(np.argmin(slopes))
    if slopes[worst] < 0 or scaled.sum() <= 0:
        raise InputError(
            "The force of a bump stop must rise with its compression",
            found=f"a slope of {slopes[worst]:.6g} N/m at {places[worst] * reach / MM:.6g} mm",
            todo="Shorten the reach or check the coefficients.",
        )


def _roots_inside(polynomial: Array) -> Array:
    """Real roots between 0 and 1, terms too small to move them left out: they would overflow on the way."""
    size = np.abs(polynomial)
    heard = np.flatnonzero(size > np.finfo(float).eps * size.max())
    roots = polyroots(polynomial[: heard[-1] + 1]) if heard.size else np.empty(0)
    real = np.abs(roots.imag) <= 1e-9 * np.abs(roots)
    return np.asarray(roots.real[real & (roots.real > 0) & (roots.real < 1)])


def _check_rows(compression: Array, force: Array) -> None:
    if compression.ndim != 1 or compression.shape != force.shape or not compression.size:
        raise InputError(
            "The rows of a bump stop do not pair up",
            found=f"{compression.size} compressions, {force.size} forces",
            allowed="one force for each compression, at least one row",
            todo="Write each row as compression, force.",
        )
    check_length("compression of the bump stop", compression, 0.0, 0.5)
    if not np.all(np.isfinite(force)) or np.any(np.diff(compression) <= 0) or np.any(np.diff(force) < 0):
        raise InputError(
            "The rows of a bump stop must rise",
            found=", ".join(f"{x / MM:.6g} mm {f:.6g} N" for x, f in zip(compression, force, strict=True)),
            todo="Put the rows in order of compression; the force must not fall.",
        )
    touching = compression[0] == 0
    if (force[0] != 0 if touching else force[0] < 0) or compression[-1] == 0 or force[-1] <= 0:
        raise InputError(
            "A bump stop has no force at touch and some force later",
            found=f"first row {compression[0] / MM:.6g} mm {force[0]:.6g} N, last row {force[-1]:.6g} N",
            todo="Count the compression from where the rubber touches.",
        )
