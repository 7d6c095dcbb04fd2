"""Tyre and rim."""

from __future__ import annotations

from pydantic import Field

from jounce.car import ranges
from jounce.car.section import Section


class Wheel(Section):
    """Tyre and rim of one wheel."""

    tyre: str = Field(default="", description="size and make-up of the tyre, as text")
    loaded_radius: ranges.LoadedRadius = Field(description="height of the wheel centre above the ground, as found")
    tyre_rate: ranges.TyreRate = Field(description="vertical rate of the tyre")
    rim_diameter: ranges.RimDiameter | None = Field(default=None, description="nominal diameter of the rim")
    offset: ranges.WheelOffset | None = Field(
        default=None, description="mounting face to the rim's middle plane; positive when the face lies outboard"
    )
    tyre_width: ranges.TyreWidth | None = Field(default=None, description="width of the tyre")
