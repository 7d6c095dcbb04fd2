"""The tyre as a vertical spring: it pushes the wheel up while it touches the road and cannot pull it down."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.law import OneSided
from jounce.elements.limits import check_not_negative
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class Tyre:
    """A tyre of constant vertical stiffness (ISO 8855), ``vertical_stiffness`` in N/m, one value or one per variant.

    Displacement is the tyre deflection, positive when the wheel centre comes nearer to the road.
    Assumes: the stiffness of the load, pressure and speed at which it was measured; no damping.

    >>> round(float(Tyre(180e3).deflection(2700.0)) * 1e3, 3)
    15.0
    """

    vertical_stiffness: float | Array

    def __post_init__(self) -> None:
        check_not_negative("vertical stiffness of the tyre", self.vertical_stiffness, "N/m")

    @property
    def law(self) -> OneSided:
        """The tyre over its deflection from first touch; without force when it is off the road."""
        return OneSided(rate=self.vertical_stiffness)

    def law_about(self, load: float | Array) -> OneSided:
        """The tyre over its deflection from where it stands under a vertical load [N]; it lifts off at zero load."""
        return OneSided(rate=self.vertical_stiffness, start=-self.deflection(load))

    def deflection(self, load: float | Array) -> Array:
        """Deflection under a vertical load [N], zero or more, in m."""
        check_not_negative("vertical load of the tyre", load, "N")
        return np.asarray(load / np.asarray(self.vertical_stiffness))
