"""Round torsion bars, solid or hollow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.conventions.units import MM
from jounce.elements.law import Linear
from jounce.elements.springs.limits import check_bore, check_length, check_modulus, check_not_negative
from jounce.elements.springs.series import series_rate
from jounce.numerics.arrays import Array

__all__ = ["TorsionBar", "diameter_for_rate", "effective_length", "fillet_share_by_torsion", "series_rate"]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)


@dataclass(frozen=True, slots=True)
class TorsionBar:
    """A round bar twisted over its active length; every field one value or one per variant.

    ``diameter``, ``inner_diameter`` and ``active_length`` in m, ``shear_modulus`` in Pa. Torque and twist are positive
    in the sense that winds the bar up. Valid in the elastic range: twist proportional to torque, ends that do not give
    (put what gives besides the bar in series). Source: Gere, Mechanics of Materials, torsion of circular bars.

    >>> bar = TorsionBar(diameter=0.0215, active_length=1.05, shear_modulus=78.5e9)
    >>> round(float(bar.rate), 3)
    1568.318
    """

    diameter: float | Array
    active_length: float | Array
    shear_modulus: float | Array
    inner_diameter: float | Array = 0.0

    def __post_init__(self) -> None:
        check_length("bar diameter", self.diameter, 0.001, 0.200)
        check_length("active length", self.active_length, 0.010, 5.0)
        check_modulus("shear modulus of the bar", self.shear_modulus)
        check_bore("torsion bar", self.diameter, self.inner_diameter)

    @property
    def polar_moment(self) -> Array:
        """``J = pi (d⁴ - d_i⁴) / 32`` [m⁴]."""
        return np.asarray(np.pi * (np.asarray(self.diameter) ** 4 - np.asarray(self.inner_diameter) ** 4) / 32)

    @property
    def rate(self) -> Array:
        """Torsional rate, torque per twist, ``k = G J / L`` [N m/rad]."""
        return np.asarray(self.shear_modulus * self.polar_moment / self.active_length)

    @property
    def law(self) -> Linear:
        """The bar over its twist from slack; it holds both ways [rad]."""
        return Linear(rate=self.rate)

    def shear_stress(self, torque: float | Array) -> Array:
        """Shear stress at the surface, ``T d / (2 J)`` [Pa], for a torque [N m]."""
        return np.asarray(torque * np.asarray(self.diameter) / (2 * self.polar_moment))

    def torque_at_stress(self, stress: float | Array) -> Array:
        """Torque that gives a surface shear stress [Pa], in N m."""
        return np.asarray(stress * 2 * self.polar_moment / self.diameter)

    def twist_at_stress(self, stress: float | Array) -> Array:
        """Twist that gives a surface shear stress [Pa], ``2 tau L / (G d)``, in rad."""
        return np.asarray(
            2 * stress * np.asarray(self.active_length) / (self.shear_modulus * np.asarray(self.diameter))
        )

    def energy(self, torque: float | Array) -> Array:
        """Energy stored under a torque [N m], ``T² / (2 k)``, in J."""
        return np.asarray(np.asarray(torque) ** 2 / (2 * self.rate))

    def mass(self, density: float | Array) -> Array:
        """Mass of the active length for a density [kg/m³], heads left out, in kg."""
        area = np.pi * (np.asarray(self.diameter) ** 2 - np.asarray(self.inner_diameter) ** 2) / 4
        return np.asarray(density * area * self.active_length)


def effective_length(
    shank_length: float | Array,
    bar_diameter: float | Array,
    head_diameter: float | Array,
    fillet_radius: float | Array,
    fillet_share: float | Array,
) -> Array:
    """Active length of a bar whose shank runs into thicker heads over a fillet at both ends.

    ``l_f = l_s - 2 (l_h - l_e)``, ``l_h = sqrt(R² - (R - (d_a - d)/2)²)``, ``l_e = nu l_h``: a fillet of length l_h
    twists like a piece of the shank of length l_e.

    Args:
        shank_length: l_s, from head to head, both fillets included [m]
        bar_diameter: d of the shank [m]
        head_diameter: d_a, where the fillet ends in the head [m]
        fillet_radius: R [m]
        fillet_share: nu, from the chart of the standard for d_a/d and R/d or from `fillet_share_by_torsion`, 0 to 1 [-]

    Returns:
        Length l_f of a plain bar of diameter d with the same rate [m]

    Raises:
        InputError: a head thinner than the shank, a step higher than the fillet's radius, fillets longer than the shank

    Valid for: circular fillets, both ends alike.
    Source: DIN 2091, end correction, as given in a public transcription (the standard itself was not seen).

    >>> round(float(effective_length(1.05, 0.0215, 0.0275, 0.040, 0.6)), 6)
    1.037841

    """
    check_length("shank diameter", bar_diameter, 0.001, 0.200)
    check_range("fillet share nu", np.asarray(fillet_share) * 1.0, 0, 1, "", "Read it from the chart of DIN 2091.")
    step = (np.asarray(head_diameter) - np.asarray(bar_diameter)) / 2
    radius = np.asarray(fillet_radius)
    _check_step(step, radius)
    fillet = np.sqrt(radius**2 - (radius - step) ** 2)
    plain = np.asarray(shank_length) - 2 * fillet
    check_range("shank between the fillets", plain / MM, 0, float("inf"), "mm", "Measure from head to head.")
    return np.asarray(plain + 2 * fillet_share * fillet)


def fillet_share_by_torsion(
    bar_diameter: float | Array,
    head_diameter: float | Array,
    fillet_radius: float | Array,
    inner_diameter: float | Array = 0.0,
) -> Array:
    """Share of a fillet's length that twists like a piece of the shank, by plain torsion of every slice of it.

    ``nu = (1/l_h) integral of J / J(x) dx`` over the fillet, ``d(x) = d + 2 (R - sqrt(R² - x²))``

    Args:
        bar_diameter: d of the shank [m]
        head_diameter: d_a, where the fillet ends in the head [m]
        fillet_radius: R [m]
        inner_diameter: bore that goes through, 0 for a solid bar [m]

    Returns:
        nu, 1 for a head as thin as the shank [-]

    Raises:
        InputError: a head thinner than the shank, or a step higher than the fillet's radius

    Valid for: slices that stay plane and carry the load over their whole section; the rim of a steep fillet carries less,
    so that a real bar is a little softer.
    Source: Gere, Mechanics of Materials, torsion of bars whose section changes along them.

    >>> round(float(fillet_share_by_torsion(0.0215, 0.0275, 0.040)), 4)
    0.7422

    """
    step = (np.asarray(head_diameter) - np.asarray(bar_diameter)) / 2
    _check_step(step, np.asarray(fillet_radius))
    end = np.arccos(1 - step / np.asarray(fillet_radius))  # angle of the fillet's arc, from the shank
    angle = end[..., None] * (_NODES + 1) / 2
    radius, bar = np.asarray(fillet_radius)[..., None], np.asarray(bar_diameter)[..., None]
    bore = np.asarray(inner_diameter)[..., None] ** 4
    slices = (bar**4 - bore) / ((bar + 2 * radius * (1 - np.cos(angle))) ** 4 - bore) * np.cos(angle)
    return np.asarray((slices @ _WEIGHTS) / 2 / np.sinc(end / np.pi))


def diameter_for_rate(
    rate: float | Array,
    active_length: float | Array,
    shear_modulus: float | Array,
    inner_diameter: float | Array = 0.0,
) -> Array:
    """Diameter of a bar that has a wanted torsional rate.

    ``d = (32 k L / (pi G) + d_i⁴)^(1/4)``

    Args:
        rate: k [N m/rad]
        active_length: L [m]
        shear_modulus: G [Pa]
        inner_diameter: bore d_i, 0 for a solid bar [m]

    Returns:
        Outer diameter d [m]

    Raises:
        InputError: a negative rate, or a modulus that no metal has

    Source: Gere, Mechanics of Materials, torsion of circular bars, solved for the diameter.

    >>> round(float(diameter_for_rate(1568.3179, 1.05, 78.5e9)), 6)
    0.0215

    """
    check_not_negative("torsional rate", rate, "N m/rad")
    check_modulus("shear modulus of the bar", shear_modulus)
    fourth = 32 * np.asarray(rate) * active_length / (np.pi * np.asarray(shear_modulus))
    return np.asarray((fourth + np.asarray(inner_diameter) ** 4) ** 0.25)


def _check_step(step: Array, radius: Array) -> None:
    step, radius = np.broadcast_arrays(step, radius)
    bad = np.flatnonzero(~((step.real >= 0) & (step.real <= radius.real)))
    if bad.size:
        raise InputError(
            "The head's step does not fit the fillet",
            found=f"a step of {step.flat[bad[0]].real / MM:.6g} mm",
            allowed=f"0 to the fillet radius, {radius.flat[bad[0]].real / MM:.6g} mm",
            todo="Check head diameter, shank diameter and fillet radius.",
        )
