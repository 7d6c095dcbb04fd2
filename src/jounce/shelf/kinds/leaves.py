"""Leaf springs and their shackles."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.parts import LeafSpring
from jounce.car.parts.changed import Shackles, SlotStep
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.shelf.part import Needed, Part, Words, known_as

__all__ = ["LeafPart", "ShacklePart"]


class LeafPart(Part):
    """A leaf spring, all its leaves together: its rate, its camber, and what it meets the car by."""

    KIND: ClassVar[str] = "leaf"
    TITLE: ClassVar[str] = "leaf spring"
    MECHANICS: ClassVar[type[Section] | None] = LeafSpring
    CARRIED: ClassVar[tuple[str, ...]] = ("rate", "free_camber", "leaf_count", "width", "thickness")
    NEEDED: ClassVar[Needed] = (("rate",), ("free_camber",))
    FITTING: ClassVar[Needed] = (
        ("width",),
        ("length",),
        ("front_half",),
        ("centre_bolt",),
        ("front_bolt",),
        ("rear_bolt",),
        ("eye_width",),
    )

    rate: ranges.SpringRate | None = known_as(LeafSpring, "rate")
    free_camber: ranges.FreeCamber | None = known_as(LeafSpring, "free_camber")
    leaves: Words = Field(default="", description="number and thickness of the leaves, as text")
    leaf_count: ranges.LeafCount | None = known_as(LeafSpring, "leaf_count")
    width: ranges.LeafWidth | None = known_as(LeafSpring, "width")
    thickness: ranges.LeafThickness | None = known_as(LeafSpring, "thickness")
    length: ranges.LeafLength | None = Field(default=None, description="length from eye to eye, along the main leaf")
    front_half: ranges.LeafLength | None = Field(
        default=None, description="length from the front eye to the centre bolt, along the main leaf"
    )
    centre_bolt: ranges.BoltSize | None = Field(default=None, description="head of the centre bolt")
    front_bolt: ranges.BoltSize | None = Field(default=None, description="bolt through the bush in the fixed front eye")
    rear_bolt: ranges.BoltSize | None = Field(
        default=None, description="bolt through the bush in the shackled rear eye"
    )
    eye_width: ranges.LeafWidth | None = Field(
        default=None, description="width of the rear eye with its bush, between the shackle's plates"
    )

    def problems(self) -> list[InputError]:
        """A half that is longer than the whole."""
        whole, half = self.length, self.front_half
        if whole is None or half is None or half.value < whole.value:
            return []
        return [
            InputError(
                "The leaf's front half is not shorter than the whole leaf",
                found=show(half.value, Kind.LENGTH),
                allowed=f"less than {show(whole.value, Kind.LENGTH)}",
                todo="Exchange the two lengths or measure again.",
                place="front_half",
            )
        ]


class ShacklePart(Part):
    """A shackle of a leaf spring: of one length, or of several by its holes."""

    KIND: ClassVar[str] = "shackle"
    TITLE: ClassVar[str] = "shackle"
    MECHANICS: ClassVar[type[Section] | None] = Shackles
    CARRIED: ClassVar[tuple[str, ...]] = ("shortest", "longest", "step")
    NEEDED: ClassVar[Needed] = (("shortest",), ("longest",))
    FITTING: ClassVar[Needed] = (("bolt",), ("width",))

    shortest: ranges.ShackleLength | None = known_as(Shackles, "shortest")
    longest: ranges.ShackleLength | None = known_as(Shackles, "longest")
    step: SlotStep | None = known_as(Shackles, "step")
    bolt: ranges.BoltSize | None = Field(default=None, description="its two bolts")
    width: ranges.LeafWidth | None = Field(default=None, description="width between its plates, where the eye sits")
