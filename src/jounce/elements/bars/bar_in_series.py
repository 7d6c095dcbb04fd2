"""A torsion bar and what gives besides it, one behind the other: torque tube, anchor, lever."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from jounce.elements.bars.torsion_bar import TorsionBar
from jounce.elements.law import Linear
from jounce.elements.springs.series import series_rate
from jounce.numerics.arrays import Array

BAR = "bar"
"""Name of the bar itself among the parts."""


@dataclass(frozen=True, slots=True)
class BarInSeries:
    """A bar whose far end is held by parts that give, all under one torque.

    ``others`` are the torsional rates of the other parts by name, infinite for a rigid one [N m/rad]; a torque tube is
    itself a hollow `TorsionBar`, whose ``rate`` goes in here. The twist that the arm sees is the sum of all twists.
    Source: elasticities in series, as for springs in any textbook of mechanics.

    >>> tube = TorsionBar(diameter=0.045, active_length=0.6, shear_modulus=78.5e9, inner_diameter=0.039)
    >>> whole = BarInSeries(TorsionBar(0.0215, 1.05, 78.5e9), {"tube": tube.rate})
    >>> round(float(whole.rate), 2), round(float(whole.shares["tube"]), 4)
    (1468.02, 0.064)
    """

    bar: TorsionBar
    others: Mapping[str, float | Array] = field(default_factory=dict)

    @property
    def rate(self) -> Array:
        """Torque per twist that the arm sees [N m/rad]."""
        return series_rate(self.bar.rate, *self.others.values()) if self.others else self.bar.rate

    @property
    def law(self) -> Linear:
        """The whole over its twist from slack; it holds both ways [rad]."""
        return Linear(rate=self.rate)

    @property
    def shares(self) -> dict[str, Array]:
        """Share of the twist, and of the stored energy, by part; they add up to one [-]."""
        rate = self.rate
        parts: dict[str, float | Array] = {BAR: self.bar.rate, **self.others}
        return {name: np.asarray(rate / np.asarray(part)) for name, part in parts.items()}

    def shear_stress(self, twist: float | Array) -> Array:
        """Shear stress at the bar's surface for a twist of the whole [rad], in Pa."""
        return self.bar.shear_stress(self.rate * twist)

    def twist_at_stress(self, stress: float | Array) -> Array:
        """Twist of the whole at which the bar's surface has a shear stress [Pa], in rad."""
        return np.asarray(self.bar.torque_at_stress(stress) / self.rate)
