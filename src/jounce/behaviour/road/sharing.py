"""How two tyres of an axle share a force of the road."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from jounce.numerics.arrays import Array

_NO_LOAD = 1e-9  # below it an axle has no load to share by [N]


class Sharing(Protocol):
    """A rule by which an axle's lateral force is shared by its two tyres."""

    def lateral(self, load: Array, demand: Array) -> Array:
        """Lateral force of each tyre.

        Args:
            load: vertical loads, left and right, zero off the road, shape (states, 2) [N]
            demand: lateral force of the axle, positive to the left, shape (states,) [N]

        Returns:
            Shape (states, 2) [N]; the two add up to the demand
        """
        ...


@dataclass(frozen=True, slots=True)
class ByLoad:
    """Each tyre gives in proportion to its load: both use the same friction, whatever the load."""

    def lateral(self, load: Array, demand: Array) -> Array:
        """See `Sharing`."""
        return np.asarray(_share(load) * demand[:, None])


def longitudinal(load: Array, demand: Array, friction: float) -> Array:
    """Longitudinal force of each tyre: half the axle's each, but never more than friction allows; the rest its partner's.

    Args:
        load: vertical loads, left and right, shape (states, 2) [N]
        demand: longitudinal force of the axle, positive forward, shape (states,) [N]
        friction: most that a tyre gives of its load [-]

    Returns:
        Shape (states, 2) [N]; the two add up to the demand
    """
    half = 0.5 * demand[:, None] * np.ones(2)
    sense = np.where(demand.real < 0, -1.0, 1.0)[:, None]
    most = sense * friction * load
    short = np.where((sense * (half - most)).real > 0, half - most, 0.0)  # what a tyre cannot give
    return np.asarray(half - short + short[:, ::-1])


def _share(load: Array) -> Array:
    total = load.sum(axis=1, keepdims=True)
    loose = total.real < _NO_LOAD
    return np.asarray(np.where(loose, 0.5, load / np.where(loose, 1.0, total)))
