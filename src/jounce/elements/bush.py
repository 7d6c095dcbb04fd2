"""Bushes: rubber that gives a little in every way, each way with a law of its own.

A way (radial, axial, torsional, conical) is linear with a rate, or progressive by a table that holds both ways alike.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from jounce.conventions.errors import InputError
from jounce.conventions.units import MM
from jounce.elements.law import ElementLaw, Linear
from jounce.elements.piecewise import Piecewise, monotone_cubic
from jounce.elements.root import where_it_reaches
from jounce.elements.springs.limits import check_length
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import through


@dataclass(frozen=True, slots=True)
class BushCurve:
    """A progressive bush by rows of displacement [m] and force [N], shape (rows,) each, the same both ways.

    The force is odd, ``F(-x) = -F(x)``: a monotone cubic (PCHIP) through the rows and their mirror image, straight on
    with the last slope beyond the last row. A table that does not begin with no force at no displacement gets that
    row.

    Source: Fritsch & Carlson, Monotone piecewise cubic interpolation, SIAM J. Numer. Anal. 17 (1980).

    >>> bush = BushCurve(np.array([0.001, 0.002]), np.array([1000.0, 4000.0]))
    >>> bush.force(np.array([-0.002, 0.0, 0.001])).round(9).tolist()
    [-4000.0, 0.0, 1000.0]
    """

    displacement_points: Array
    force_points: Array
    _curve: Piecewise = field(init=False, repr=False, compare=False)
    _slope: Piecewise = field(init=False, repr=False, compare=False)
    _area: Piecewise = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        displacement, force = (np.asarray(x, dtype=np.float64) for x in (self.displacement_points, self.force_points))
        _check_rows(displacement, force)
        beyond = displacement > 0
        displacement, force = displacement[beyond], force[beyond]
        x = np.concatenate((-displacement[::-1], [0.0], displacement))
        y = np.concatenate((-force[::-1], [0.0], force))
        curve = monotone_cubic(x, y)
        object.__setattr__(self, "_curve", curve)
        object.__setattr__(self, "_slope", curve.slope())
        area = curve.area()
        area.terms[0] -= area(0.0)  # no energy at rest
        object.__setattr__(self, "_area", area)

    @property
    def reach(self) -> float:
        """Displacement of the last row: beyond it nothing was measured [m]."""
        return float(self._curve.x[-1])

    def energy(self, displacement: Array) -> Array:
        """Stored energy, the exact area under the force, zero at rest [J]."""
        inside, beyond = self._split(displacement)
        end = np.sign(beyond.real) * self._curve(self.reach)
        return np.asarray(
            through(inside, self._area(inside.real), self._curve(inside.real))
            + end * beyond
            + 0.5 * self._slope(self.reach) * beyond**2
        )

    def force(self, displacement: Array) -> Array:
        """Force against the displacement [N]."""
        inside, beyond = self._split(displacement)
        return np.asarray(
            through(inside, self._curve(inside.real), self._slope(inside.real)) + self._slope(self.reach) * beyond
        )

    def stiffness(self, displacement: Array) -> Array:
        """Slope of the force [N/m]."""
        inside, _ = self._split(displacement)
        return through(inside, self._slope(inside.real), self._slope.slope()(inside.real))

    def displacement(self, force: Array) -> Array:
        """The displacement that a force makes [m].

        Args:
            force: force on the bush, any shape [N]

        """
        wanted = np.asarray(force)
        sense = np.where(wanted.real < 0, -1.0, 1.0)
        size = (sense * wanted).real
        last = float(self._curve(self.reach))
        held = np.minimum(size, last)
        inside = where_it_reaches(self._curve, self._slope, held, np.zeros_like(held), np.full_like(held, self.reach))
        found = inside + np.maximum(size - last, 0.0) / self._slope(self.reach)
        # One Newton step takes off the last rounding and carries an imaginary perturbation.
        start = sense * found
        return np.asarray(start + (wanted - self.force(start)) / self.stiffness(start))

    def _split(self, displacement: Array) -> tuple[Array, Array]:
        """The part of a displacement inside the table, and what lies beyond it."""
        x = np.asarray(displacement)
        inside = np.where(x.real > self.reach, self.reach, np.where(x.real < -self.reach, -self.reach, x))
        return np.asarray(inside), np.asarray(x - inside)


@dataclass(frozen=True, slots=True)
class Stiffer:
    """A law with all its forces multiplied by a factor: the way from a soft bush to an ideal joint."""

    law: ElementLaw
    factor: float

    def energy(self, displacement: Array) -> Array:
        """Stored energy [J]."""
        return np.asarray(self.factor * self.law.energy(displacement))

    def force(self, displacement: Array) -> Array:
        """Force or torque [N or N m]."""
        return np.asarray(self.factor * self.law.force(displacement))

    def stiffness(self, displacement: Array) -> Array:
        """Rate [N/m or N m/rad]."""
        return np.asarray(self.factor * self.law.stiffness(displacement))


def displacement_at(law: ElementLaw, force: Array) -> Array:
    """Where a bush's law carries a force or torque [m or rad].

    Args:
        law: linear, a curve, or a stiffer form of either
        force: what it carries [N or N m]

    Raises:
        TypeError: another kind of law (a fault of the caller, not of the car)

    """
    if isinstance(law, Linear):
        return np.asarray((force - law.preload) / np.asarray(law.rate))
    if isinstance(law, BushCurve):
        return law.displacement(force)
    if isinstance(law, Stiffer):
        return displacement_at(law.law, force / law.factor)
    raise TypeError(f"a bush has no {type(law).__name__}")


def _check_rows(displacement: Array, force: Array) -> None:
    if displacement.ndim != 1 or displacement.shape != force.shape or not displacement.size:
        raise InputError(
            "The rows of a bush do not pair up",
            found=f"{displacement.size} displacements, {force.size} forces",
            allowed="one force for each displacement, at least one row",
            todo="Write each row as displacement, force.",
        )
    check_length("displacement of the bush", displacement, 0.0, 0.1)
    rising = np.all(np.diff(displacement) > 0) and np.all(np.diff(force) > 0)
    begins = force[0] == 0 if displacement[0] == 0 else force[0] > 0
    if not np.all(np.isfinite(force)) or not rising or not begins or force[-1] <= 0:
        raise InputError(
            "The rows of a bush must rise from no force at no displacement",
            found=", ".join(f"{x / MM:.6g} mm {f:.6g} N" for x, f in zip(displacement, force, strict=True)),
            todo="Put the rows in order of displacement; each force must be greater than the one before.",
        )
