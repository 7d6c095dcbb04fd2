"""Springs and rubber that grow harder: laws by rows, by a polynomial, and with a rate in proportion to the load."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import MM
from jounce.elements.piecewise import Piecewise, cubic_with_slopes, monotone_slopes
from jounce.elements.root import where_it_reaches
from jounce.elements.springs.limits import check_length
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import through


@dataclass(frozen=True, slots=True)
class ProgressiveCurve:
    """A law without force before touch, along a piecewise polynomial up to its reach, straight on beyond it.

    ``curve`` is the force [N] over the compression from touch [m]; it begins with no force at zero. Force and stiffness
    are continuous beyond touch; at touch the stiffness begins with the curve's first slope, which may be zero.
    """

    curve: Piecewise
    _slope: Piecewise = field(init=False, repr=False, compare=False)
    _area: Piecewise = field(init=False, repr=False, compare=False)
    _bend: Piecewise = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_slope", self.curve.slope())
        object.__setattr__(self, "_area", self.curve.area())
        object.__setattr__(self, "_bend", self._slope.slope())

    @property
    def reach(self) -> float:
        """Compression up to which the curve is known [m]."""
        return float(self.curve.x[-1])

    @property
    def start(self) -> float:
        """Compression at touch: none [m]."""
        return 0.0

    def energy(self, displacement: Array) -> Array:
        """Stored energy, the exact area under the force [J]."""
        inside, beyond = self._split(displacement)
        area = self._area(inside) + self.curve(self.reach) * beyond + 0.5 * self._slope(self.reach) * beyond**2
        return through(displacement, area, self.curve(inside) + self._slope(self.reach) * beyond)

    def force(self, displacement: Array) -> Array:
        """Force [N]."""
        inside, beyond = self._split(displacement)
        force = np.asarray(self.curve(inside) + self._slope(self.reach) * beyond)
        return through(displacement, force, self._rate(displacement, inside))

    def stiffness(self, displacement: Array) -> Array:
        """Slope of the force, zero before touch [N/m]."""
        inside, _ = self._split(displacement)
        within = (np.real(displacement) > 0) & (np.real(displacement) < self.reach)
        return through(displacement, self._rate(displacement, inside), np.where(within, self._bend(inside), 0.0))

    def _rate(self, displacement: Array, inside: Array) -> Array:
        return np.asarray(np.where(np.real(displacement) > 0, self._slope(inside), 0.0))

    def _split(self, displacement: Array) -> tuple[Array, Array]:
        x = np.asarray(np.real(displacement), dtype=np.float64)
        return np.clip(x, 0.0, self.reach), np.maximum(x - self.reach, 0.0)

    def displacement_at(self, force: Array) -> Array:
        """Compression under a force, to rounding [m]; a negative force goes on along the first piece's mean slope."""
        goal = np.asarray(np.real(force), dtype=np.float64)
        last, end = float(self.curve(self.reach)), float(self._slope(self.reach))
        first = float(self.curve(self.curve.x[1])) / float(self.curve.x[1])
        held = np.clip(goal, 0.0, last)
        low, high = np.zeros_like(held), np.full_like(held, self.reach)
        inside = where_it_reaches(self.curve, self._slope, held, low, high)
        with np.errstate(divide="ignore", invalid="ignore"):  # a curve that ends level is never pushed beyond its end
            beyond = np.where(goal > last, (goal - last) / end, 0.0)
        place = np.where(goal <= 0, goal / first, inside + beyond)
        slope = np.where(goal < 0, first, np.where(goal > last, end, self._slope(inside)))
        with np.errstate(divide="ignore"):
            return through(force, place, 1 / slope)


@dataclass(frozen=True, slots=True)
class SpringCurve:
    """A progressive spring by rows of compression [m] and force [N], shape (rows,) each.

    Between the rows the force is a monotone cubic (PCHIP); beyond the last row it goes straight on with the last
    slope; loose it has no force. The rows must rise, and the curve's two end slopes are not taken below half of the
    first and last rows' own, so that every load has one compression. A table that does not begin with no force at no
    compression gets that row.

    Source: Fritsch & Carlson, Monotone piecewise cubic interpolation, SIAM J. Numer. Anal. 17 (1980).

    >>> spring = SpringCurve(np.array([0.05, 0.10]), np.array([800.0, 2000.0]))
    >>> spring.force(np.array([-0.01, 0.05, 0.10])).round(9).tolist()
    [0.0, 800.0, 2000.0]
    >>> spring.displacement_at(np.array([800.0, 2000.0])).round(12).tolist()
    [0.05, 0.1]
    """

    compression_points: Array
    force_points: Array
    _curve: ProgressiveCurve = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        compression, force = (np.asarray(x, dtype=np.float64) for x in (self.compression_points, self.force_points))
        _check_rows(compression, force)
        if compression[0] > 0:
            compression, force = np.append(0.0, compression), np.append(0.0, force)
        object.__setattr__(self, "_curve", ProgressiveCurve(_rising_cubic(compression, force)))

    @property
    def progressive(self) -> ProgressiveCurve:
        """The curve through the rows."""
        return self._curve

    @property
    def reach(self) -> float:
        """Compression of the last row: beyond it nothing was measured [m]."""
        return self._curve.reach

    @property
    def start(self) -> float:
        """Compression of the free spring: none [m]."""
        return 0.0

    def energy(self, displacement: Array) -> Array:
        """Stored energy [J]."""
        return self._curve.energy(displacement)

    def force(self, displacement: Array) -> Array:
        """Force over the compression [N]."""
        return self._curve.force(displacement)

    def stiffness(self, displacement: Array) -> Array:
        """Slope of the force over the compression [N/m]."""
        return self._curve.stiffness(displacement)

    def displacement_at(self, force: Array) -> Array:
        """Compression under a force [m]."""
        return self._curve.displacement_at(force)


@dataclass(frozen=True, slots=True)
class ConstantFrequency:
    """A spring of one rate up to a load, beyond it with a rate in proportion to the load, so that its frequency stays.

    ``F = k x`` up to ``F0 = rate * length``, then ``F = F0 exp((x - length) / length)``: rate and force have no step.
    From there on any mass that the spring carries has the frequency of a static deflection of ``length``. ``rate``
    [N/m] and ``length`` [m] are one value or one per variant.

    Source: Barton & Fieldhouse, Automotive Chassis Engineering, Eq. 3.28.

    >>> spring = ConstantFrequency(rate=20e3, length=0.150)
    >>> (spring.force(np.array([0.15, 0.20])) / spring.stiffness(np.array([0.15, 0.20]))).round(12).tolist()
    [0.15, 0.15]
    """

    rate: float | Array
    length: float | Array

    def __post_init__(self) -> None:
        check_range("spring rate", np.asarray(self.rate) / 1e3, 1e-3, 1e6, "N/mm", "Check the number and its unit.")
        check_length("static deflection", self.length, 0.005, 1.0)

    @property
    def start(self) -> float:
        """Compression of the free spring: none [m]."""
        return 0.0

    def energy(self, displacement: Array) -> Array:
        """``k x² / 2``, beyond the length ``k length² / 2 + (F - F0) length`` [J]."""
        below, beyond = self._split(displacement)
        rise = self.rate * self.length**2 * np.expm1(beyond / self.length)
        return np.asarray(0.5 * self.rate * below**2 + rise)

    def force(self, displacement: Array) -> Array:
        """Force over the compression [N]."""
        below, beyond = self._split(displacement)
        return np.asarray(self.rate * below * np.exp(beyond / self.length))

    def stiffness(self, displacement: Array) -> Array:
        """The rate up to the length, then force per length [N/m]."""
        _, beyond = self._split(displacement)
        pushing = np.real(displacement) > 0
        return np.asarray(np.where(pushing, self.rate * np.exp(beyond / self.length), 0.0))

    def displacement_at(self, force: Array) -> Array:
        """``F / k`` up to the load, then ``length (1 + ln(F / F0))`` [m]."""
        share = np.asarray(force / (np.asarray(self.rate) * self.length))
        above = np.where(np.real(share) > 1, share, 1.0)
        return np.asarray(self.length * np.where(np.real(share) > 1, 1 + np.log(above), share))

    def _split(self, displacement: Array) -> tuple[Array, Array]:
        """Compression up to the length, and what goes beyond it; none of either where the spring is loose."""
        x, length = np.broadcast_arrays(np.asarray(displacement), np.asarray(self.length))
        below = np.where(np.real(x) > np.real(length), length, np.where(np.real(x) > 0, x, 0.0))
        return below, np.where(np.real(x) > np.real(length), x - length, 0.0)


def _rising_cubic(compression: Array, force: Array) -> Piecewise:
    """PCHIP with its end slopes kept from vanishing; a slope of half the secant keeps the cubic rising."""
    slopes = monotone_slopes(compression, force)
    secants = np.diff(force) / np.diff(compression)
    slopes[0], slopes[-1] = max(slopes[0], 0.5 * secants[0]), max(slopes[-1], 0.5 * secants[-1])
    return cubic_with_slopes(compression, force, slopes)


_LEAST_RATE = 1.0
"""Between two rows a spring rises by this rate or more [N/m]; less is a slip of the pen."""


def _check_rows(compression: Array, force: Array) -> None:
    if compression.ndim != 1 or compression.shape != force.shape or not compression.size:
        raise InputError(
            "The rows of a spring do not pair up",
            found=f"{compression.size} compressions, {force.size} forces",
            allowed="one force for each compression, at least one row",
            todo="Write each row as compression, force.",
        )
    check_length("compression of the spring", compression, 0.0, 1.0)
    touching = compression[0] == 0
    rises = np.all(np.diff(compression) > 0) and np.all(np.isfinite(force))
    rises = rises and np.all(np.diff(force) >= _LEAST_RATE * np.diff(compression))
    if not rises or (force[0] != 0 if touching else force[0] < _LEAST_RATE * compression[0]) or compression[-1] == 0:
        raise InputError(
            "The rows of a spring must rise from no force at no compression",
            found=", ".join(f"{x / MM:.6g} mm {f:.6g} N" for x, f in zip(compression, force, strict=True)),
            todo="Count the compression from the free length; every row must carry more than the one before.",
        )
