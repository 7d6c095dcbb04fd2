"""What a car offers at one of its axles for parts to fit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from jounce.car.file.document import CarDocument
from jounce.car.parts.interfaces import AxleInterfaces
from jounce.conventions.axes import End, Side
from jounce.shelf.fit.reason import Value

__all__ = ["CarInterface"]

_OF_THE_BAR = ("splines_arm", "splines_anchor")
"""Dimensions that the torsion bar in the car tells as well."""
ONE_PLACE = 30e-3
"""A coil whose lower end is not farther than this from the damper's surrounds the damper [m]."""


@dataclass(frozen=True, slots=True)
class CarInterface:
    """One axle of a car, as parts see it."""

    car: CarDocument
    end: End

    @property
    def interfaces(self) -> AxleInterfaces:
        """The dimensions that were measured for the purpose."""
        return self.car.interfaces.front if self.end is End.FRONT else self.car.interfaces.rear

    def value(self, key: str) -> Value:
        """A dimension of the axle; None where the car does not say.

        Args:
            key: key of the car file's ``interfaces``
        """
        value: Value = getattr(self.interfaces, key)
        if value is None and key in _OF_THE_BAR and (bar := self.fitted("torsion_bar")) is not None:
            value = getattr(bar, key)
        return value

    def key(self, name: str) -> str:
        """Where a dimension belongs in the car file, and what it is.

        Args:
            name: key of the car file's ``interfaces``
        """
        meaning = (AxleInterfaces.model_fields[name].description or "").partition(";")[0]
        return f"interfaces.{self.end}.{name} of the car ({meaning})"

    def fitted(self, name: str) -> Any:
        """A section of the axle, or of its left side; None where it has none.

        Args:
            name: name of the section
        """
        axle = self.car.axle(self.end)
        return getattr(axle, name, None) or getattr(axle.side(Side.LEFT), name, None)

    @property
    def spring_carrier(self) -> Literal["damper", "seat"] | None:
        """What the coil stands on: the damper that it surrounds, or a seat of its own; None where it is not told."""
        if self.on_struts:
            return "damper"
        pivots = self.fitted("pivots")
        coil, damper = (getattr(pivots, f"{name}_lower", None) for name in ("spring", "damper"))
        if coil is None or damper is None:
            return None
        return "damper" if coil.distance(damper) < ONE_PLACE else "seat"

    @property
    def on_struts(self) -> bool:
        """Whether the axle's dampers locate its wheels."""
        return getattr(self.fitted("pivots"), "strut_top", None) is not None

    @property
    def layout(self) -> str:
        """Word of the axle's layout."""
        return self.car.axle(self.end).layout
