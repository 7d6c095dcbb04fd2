"""Pads, spacers and blocks between springs and their seats."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.parts.changed import SpacerHeight, SpringSpacer
from jounce.shelf.part import Needed, Part, known_as

__all__ = ["SpringSpacerPart"]


class SpringSpacerPart(Part):
    """A pad, spacer or block between a coil or a leaf and its seat."""

    KIND: ClassVar[str] = "spring_spacer"
    TITLE: ClassVar[str] = "spacer at the spring's seat"
    MECHANICS: ClassVar[type[Section] | None] = SpringSpacer
    CARRIED: ClassVar[tuple[str, ...]] = ("height",)
    NEEDED: ClassVar[Needed] = (("height",),)
    height: SpacerHeight | None = known_as(SpringSpacer, "height")
    seat_diameter: ranges.SeatDiameter | None = Field(
        default=None,
        description="of a coil's: diameter of the recess that goes over the collar of the car's own lower seat",
    )
    width: ranges.LeafWidth | None = Field(
        default=None, description="of a block under a leaf: width of the leaves that it is made for"
    )
    centre_bolt: ranges.BoltSize | None = Field(
        default=None, description="of a block under a leaf: head of the centre bolt, and hole for it"
    )

    @property
    def fitting(self) -> Needed:
        """The collar that it sits on; of a block the leaves that it carries."""
        return (("seat_diameter",),) if self.width is None else (("width",), ("centre_bolt",))
