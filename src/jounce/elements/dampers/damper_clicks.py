"""A damper with an adjuster: a curve for each of some settings, and what lies between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jounce.conventions.errors import InputError, check_range
from jounce.elements.dampers.force_velocity import ForceVelocity
from jounce.numerics.arrays import Array


@dataclass(frozen=True, slots=True)
class Clicks:
    """Curves by setting of the adjuster; between two settings the force changes in proportion to the clicks.

    ``settings`` rise, shape (settings,) [clicks], counted from whichever end of the adjuster the rows were; ``curves``
    has one curve for each. Assumes: the force between two settings that were measured lies on the straight line.

    >>> soft = ForceVelocity(np.array([0.1, 0.3]), np.array([100.0, 200.0]), np.array([200.0, 400.0]))
    >>> firm = ForceVelocity(np.array([0.1, 0.3]), np.array([200.0, 500.0]), np.array([400.0, 800.0]))
    >>> Clicks((0.0, 10.0), (firm, soft)).at(2.5).force(np.array([0.1, -0.3])).tolist()
    [175.0, -700.0]
    """

    settings: tuple[float, ...]
    curves: tuple[ForceVelocity, ...]

    def __post_init__(self) -> None:
        rising = np.all(np.diff(self.settings) > 0) and bool(np.all(np.isfinite(self.settings)))
        if not self.settings or len(self.settings) != len(self.curves) or not rising:
            raise InputError(
                "The settings of a damper's adjuster do not rise, or have not one curve each",
                found=", ".join(f"{setting:g}" for setting in self.settings) or "none",
                todo="Give the rows of each setting together, settings in rising order.",
            )

    @property
    def known_to(self) -> float:
        """Speed up to which every setting was measured [m/s]."""
        return min(curve.known_to for curve in self.curves)

    def at(self, setting: float, rebound_setting: float | None = None) -> ForceVelocity:
        """The curve at a setting, measured or between two measured ones.

        Args:
            setting: of the adjuster; of a damper with two adjusters, that of bump [clicks]
            rebound_setting: of the adjuster of rebound where it has one of its own [clicks]

        Returns:
            The curve up to the speed that all settings know, rows wherever any setting has one

        Raises:
            InputError: a setting outside those that were measured

        """
        rebound = setting if rebound_setting is None else rebound_setting
        rows = np.concatenate([curve.speed for curve in self.curves])
        speed = np.unique(rows[(rows > 0) & (rows <= self.known_to)])
        return ForceVelocity(speed, self._force(speed, setting), -self._force(-speed, rebound))

    def _force(self, speed: Array, setting: float) -> Array:
        low, high = self.settings[0], self.settings[-1]
        check_range("setting of the damper", setting, low, high, "clicks", "Nothing was measured beyond.")
        place = int(np.clip(np.searchsorted(self.settings, setting, side="right") - 1, 0, len(self.settings) - 1))
        forces = self.curves[place].force(speed)
        if place + 1 == len(self.settings):
            return forces
        share = (setting - self.settings[place]) / (self.settings[place + 1] - self.settings[place])
        return np.asarray(forces + share * (self.curves[place + 1].force(speed) - forces))
