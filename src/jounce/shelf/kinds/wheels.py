"""Wheels with their tyres."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.fields import QuantityField
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.parts.changed import WheelChange
from jounce.conventions.units import Kind
from jounce.shelf.part import Needed, Part, Words, known_as

__all__ = ["WheelPart"]

RimWidth = Annotated[Measured, QuantityField(Kind.LENGTH, (50, 400), (100, 220))]


class WheelPart(Part):
    """A wheel with its tyre."""

    KIND: ClassVar[str] = "wheel"
    TITLE: ClassVar[str] = "wheel with tyre"
    MECHANICS: ClassVar[type[Section] | None] = WheelChange
    CARRIED: ClassVar[tuple[str, ...]] = ("tyre", "loaded_radius", "tyre_rate", "rim_diameter", "offset", "tyre_width")
    NEEDED: ClassVar[Needed] = (("loaded_radius",), ("tyre_rate",), ("offset",))
    FITTING: ClassVar[Needed] = (("bolts",), ("bolt_circle",), ("centre_bore",), ("rim_diameter",), ("tyre_width",))

    tyre: Words = Field(default="", description="size and make-up of the tyre, as text")
    loaded_radius: ranges.LoadedRadius | None = Field(default=None, description="height of the wheel centre, loaded")
    tyre_rate: ranges.TyreRate | None = Field(default=None, description="vertical rate of the tyre")
    tyre_width: ranges.TyreWidth | None = known_as(WheelChange, "tyre_width")
    rim_diameter: ranges.RimDiameter | None = Field(default=None, description="nominal diameter of the rim")
    rim_width: RimWidth | None = Field(default=None, description="nominal width of the rim")
    offset: ranges.WheelOffset | None = Field(
        default=None, description="mounting face to the rim's middle plane; positive when the face lies outboard"
    )
    bolts: ranges.BoltCount | None = Field(default=None, description="number of bolts")
    bolt_circle: ranges.BoltCircle | None = Field(default=None, description="diameter of the circle through the bolts")
    centre_bore: ranges.HubSpigot | None = Field(default=None, description="bore that goes over the hub's collar")
