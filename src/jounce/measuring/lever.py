"""The lever of a torsion bar: how far its line lies from the wheel's centre, which is easier to measure than its pivots."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from jounce.car.axles.axle import Axle
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import MeasuredPoint
from jounce.layouts.catalogue import LAYOUTS

__all__ = ["BarLever", "bar_lever"]


@dataclass(frozen=True, slots=True)
class BarLever:
    """Where a lever is measured, on the left side.

    Attributes:
        wheel: key of the wheel's centre
        pivots: keys of the two pivots in whose line the bar lies
        across: the way it is measured, level: "y" square to a bar along the car, "x" along the car to one that lies across

    """

    wheel: str
    pivots: tuple[str, str]
    across: Literal["x", "y"]

    @property
    def how(self) -> str:
        """The way it is measured, in words."""
        return "level, square to the car" if self.across == "y" else "level, along the car"

    def length(self, points: Mapping[str, MeasuredPoint]) -> float:
        """The lever [m].

        Args:
            points: the car's points by their keys
        """
        return abs(self._ahead(points))

    def moved(self, points: Mapping[str, MeasuredPoint], length: float) -> Iterator[tuple[str, dict[str, float]]]:
        """Each pivot with its new coordinate: the bar's line is moved as it lies.

        Args:
            points: the car's points by their keys
            length: the lever that was measured [m]
        """
        ahead = self._ahead(points)
        by = length - ahead if ahead > 0 else -length - ahead
        for key in self.pivots:
            yield key, {self.across: getattr(points[key], self.across) - by}

    def _ahead(self, points: Mapping[str, MeasuredPoint]) -> float:
        one, other, at = (float(getattr(points[key], self.across)) for key in (*self.pivots, self.wheel))
        return at - (one + other) / 2


def bar_lever(document: CarDocument, axle: Literal["front", "rear"]) -> BarLever | None:
    """The lever of an axle's torsion bars; None where it has none, or its layout does not say where they lie.

    Args:
        document: the car
        axle: front or rear
    """
    section = getattr(document, axle)
    pivots = _line_pivots(section)
    if pivots is None:
        return None
    one, other = (getattr(section.left.pivots, name) for name in pivots)
    keys = tuple(f"{axle}.pivots.{name}" for name in pivots)
    across: Literal["x", "y"] = "y" if abs(one.x - other.x) >= abs(one.y - other.y) else "x"
    return BarLever(f"{axle}.pivots.wheel_centre", (keys[0], keys[1]), across)


def _line_pivots(section: Axle) -> tuple[str, str] | None:
    layout = LAYOUTS.get(section.layout)
    if layout is None or getattr(section.left, "torsion_bar", None) is None:
        return None
    arm = getattr(getattr(section, layout.choices_in, None), "torsion_bar_on", None)
    return layout.bar_lines.get(str(arm)) or next(iter(layout.bar_lines.values()), None)
