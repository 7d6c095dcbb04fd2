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
    FITTING: ClassVar[Needed] = (("seat_diameter",),)

    height: SpacerHeight | None = known_as(SpringSpacer, "height")
    seat_diameter: ranges.SeatDiameter | None = Field(
        default=None, description="diameter of the recess that goes over the collar of the car's own lower seat"
    )
