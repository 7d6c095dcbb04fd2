"""Shims under a hub's flange: the angle that a thickness gives, how thick they may be, the steps they come in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jounce.layouts.adjusters import Aim

__all__ = ["ANY_SHIM", "ShimRange", "edge"]

_HAIR = 1e-12  # a thickness this near to an end is at it [m]


@dataclass(frozen=True, slots=True)
class ShimRange:
    """What is known of the shims of an axle.

    Attributes:
        flange: length of the flange from edge to edge, across which a shim's thickness counts; None where nobody told [m]
        thickest: most of it at one edge; None where nobody told [m]
        step: of thicknesses that there are; any where None [m]

    """

    flange: float | None = None
    thickest: float | None = None
    step: float | None = None

    def thickness(self, angle: float) -> float | None:
        """What is put under one edge of the flange to turn the hub: its length times the tangent of the angle [m].

        Args:
            angle: by how much camber or toe is to grow [rad]

        Returns:
            The thickness, negative under the other edge; None where the flange's length is not known.

        Source: plane geometry: a wedge or plate of thickness t under one edge of a flange of length L turns it by
        arctan(t / L).

        >>> round(ShimRange(flange=0.1).thickness(math.atan(0.01)), 6)
        0.001
        """
        return None if self.flange is None else self.flange * math.tan(angle)

    def _angle(self, thickness: float) -> float:
        return math.atan2(thickness, self.flange or math.inf)

    def end_before(self, angle: float) -> float | None:
        """The angle at which the thickest shim leaves the hub where more is asked for; None where it goes there.

        Args:
            angle: by how much camber or toe is to grow, a shim goes as far for one as for the other [rad]
        """
        thickness = self.thickness(angle)
        if thickness is None or self.thickest is None or abs(thickness) <= self.thickest + _HAIR:
            return None
        return self._angle(math.copysign(self.thickest, thickness))

    def on_step(self, angle: float) -> float | None:
        """The angle of the nearest thickness that there is; None where any is [rad].

        Args:
            angle: as of `end_before` [rad]
        """
        thickness = self.thickness(angle)
        if thickness is None or self.step is None:
            return None
        count = round(thickness / self.step)
        if self.thickest is not None:
            most = math.floor(self.thickest / self.step + _HAIR)
            count = min(max(count, -most), most)
        return self._angle(count * self.step)


ANY_SHIM = ShimRange()
"""Shims of which nothing was told."""


def edge(aim: Aim, angle: float) -> str:
    """The edge of the flange under which a shim makes an angle grow.

    The flange of the hub lies outboard of what carries it: a shim under the lower edge leans the wheel's top inward, one
    under the rear edge turns its front inward.

    Args:
        aim: camber or toe
        angle: by how much it is to grow [rad]
    """
    if aim == "camber":
        return "upper" if angle > 0 else "lower"
    return "rear" if angle > 0 else "front"
