"""A progressive spring with a helper or tender spring on it: one curve, the rest linear until solid."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.elements.law import SpringLaw
from jounce.elements.root import where_it_reaches
from jounce.elements.springs.coil_stack import StackMember, compressions, solid
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class CurveStack:
    """Law of a progressive spring and linear members one on the other, over the compression from free [m].

    ``x = x1 + sum(min(F(x1) / k, travel))``: the progressive spring's own compression x1 is found for each x, to
    rounding; everything else follows from it. The progressive spring itself is taken never to go solid.

    >>> from jounce.elements.springs.coil_spring import Turns
    >>> from jounce.elements.law import OneSided
    >>> stack = CurveStack(OneSided(20e3), (Turns(5e3, 0.04),))
    >>> stack.force(np.array([0.05, 0.10])).round(9).tolist()
    [200.0, 1200.0]
    """

    curve: SpringLaw
    others: tuple[StackMember, ...]

    @property
    def start(self) -> float:
        """Compression of the free stack: none [m]."""
        return 0.0

    def energy(self, displacement: Array) -> Array:
        """Stored energy of all members [J]."""
        own = self._own(displacement)
        given = self._given(self.curve.force(own))
        rates = [np.asarray(member.rate) for member in self.others]
        return np.asarray(self.curve.energy(own) + sum(0.5 * k * x**2 for k, x in zip(rates, given, strict=True)))

    def force(self, displacement: Array) -> Array:
        """Force that all members carry [N]."""
        return self.curve.force(self._own(displacement))

    def stiffness(self, displacement: Array) -> Array:
        """The members that still move, in series; none where the stack is loose [N/m]."""
        own = self._own(displacement)
        steep = self.curve.stiffness(own)
        return np.asarray(steep / (1 + steep * self._give(self.curve.force(own))))

    def displacement_at(self, force: Array) -> Array:
        """Sum of the members' compressions under a force [m]; a negative force goes on along the first rates."""
        return np.asarray(self.curve.displacement_at(force) + self._given(force).sum(axis=0))

    def _own(self, displacement: Array) -> Array:
        """Compression of the progressive spring itself."""
        x = np.asarray(displacement)
        real = np.asarray(x.real, dtype=np.float64)
        shape = np.broadcast_shapes(real.shape, *(np.shape(member.rate) for member in self.others))
        high = np.broadcast_to(np.maximum(real, 0.0), shape)
        own = where_it_reaches(self._all_real, self._slope_real, high, np.zeros_like(high), high)
        # One more step in the numbers as they are, perturbations included.
        more = (self._all(own) - x) / self._slope(own)
        return np.asarray(np.where(high > 0, own - more, np.minimum(real, 0.0)))

    def _all(self, own: Array) -> Array:
        return np.asarray(own + self._given(self.curve.force(own)).sum(axis=0))

    def _slope(self, own: Array) -> Array:
        return np.asarray(1 + self.curve.stiffness(own) * self._give(self.curve.force(own)))

    def _all_real(self, own: Array) -> Array:
        return np.asarray(self._all(own).real)

    def _slope_real(self, own: Array) -> Array:
        return np.asarray(self._slope(own).real)

    def _given(self, force: Array) -> Array:
        return compressions(self.others, force)

    def _give(self, force: Array) -> Array:
        """Compression per force of the linear members that still move [m/N]."""
        moves = np.logical_not(solid(self.others, force))
        gives = [np.where(m, 1 / np.asarray(other.rate), 0.0) for m, other in zip(moves, self.others, strict=True)]
        return np.asarray(sum(gives, np.zeros(())))
