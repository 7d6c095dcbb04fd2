"""Rubber bushes."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.parts import Bush
from jounce.shelf.part import Needed, Part, Words, known_as

__all__ = ["BushPart"]


class BushPart(Part):
    """A bush of rubber or another material that gives."""

    KIND: ClassVar[str] = "bush"
    TITLE: ClassVar[str] = "bush"
    MECHANICS: ClassVar[type[Section] | None] = Bush
    CARRIED: ClassVar[tuple[str, ...]] = ("radial", "axial", "torsional", "conical")
    NEEDED: ClassVar[Needed] = (("radial",),)

    joint: Literal["arm", "panhard", "roll-bar", "other"] = Field(description="where it sits")
    radial: ranges.BushRate | None = Field(default=None, description="rate square to the bush's axis")
    axial: ranges.BushRate | None = Field(default=None, description="rate along the bush's axis")
    torsional: ranges.BushTwist | None = known_as(Bush, "torsional")
    conical: ranges.BushTwist | None = known_as(Bush, "conical")
    outer_diameter: ranges.BushSize | None = Field(
        default=None, description="outer diameter, pressed into its housing; a bar's bush in a bracket has none"
    )
    bore: ranges.BushSize | None = Field(default=None, description="bore for the bolt, or for the bar that turns in it")
    material: Words = Field(default="", description="material and hardness, as text")

    @property
    def fitting(self) -> Needed:
        """Bore and outer diameter; of a bush of which nothing is said where it sits, nothing."""
        if self.joint == "other":
            return ()
        return (("bore",),) if self.joint == "roll-bar" else (("bore",), ("outer_diameter",))
