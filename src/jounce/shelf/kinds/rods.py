"""Drop links, spacers for ball joint and tie rod, shims under a rack."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.parts.changed import (
    AdjustableLink,
    JointSpacer,
    JointSpacerHeight,
    Plate,
    RackHeight,
    ShimThickness,
    TieRodSpacer,
)
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.shelf.part import Needed, Part, known_as

__all__ = ["BallJointSpacerPart", "DropLinkPart", "RackShimPart", "TieRodSpacerPart"]


class DropLinkPart(Part):
    """A drop link of an anti-roll bar, of fixed length or adjustable."""

    KIND: ClassVar[str] = "drop_link"
    TITLE: ClassVar[str] = "drop link"
    MECHANICS: ClassVar[type[Section] | None] = AdjustableLink
    CARRIED: ClassVar[tuple[str, ...]] = ("shortest", "longest", "thread_pitch")
    NEEDED: ClassVar[Needed] = (("shortest",), ("longest",), ("thread_pitch",))
    FITTING: ClassVar[Needed] = (("bolt_bar",), ("bolt_car",))

    shortest: ranges.LinkLength | None = Field(default=None, description="shortest length between its joints")
    longest: ranges.LinkLength | None = Field(
        default=None, description="longest length between its joints; the same for a link of fixed length"
    )
    thread_pitch: ranges.ThreadPitch | None = Field(default=None, description="change of length in one turn")
    bolt_bar: ranges.BoltSize | None = Field(default=None, description="bolt at the bar")
    bolt_car: ranges.BoltSize | None = Field(default=None, description="bolt at arm, strut or body")
    link_rate: ranges.LinkRate | None = Field(default=None, description="rate of one link with its bushes")

    @property
    def is_fixed(self) -> bool:
        """Whether it has one length: then nothing of a plan can set it."""
        low, high = self.shortest, self.longest
        return low is not None and high is not None and low.value == high.value

    @property
    def needed(self) -> Needed:
        """The ends of its length, and its thread where it has one."""
        return self.NEEDED[:2] if self.is_fixed else self.NEEDED

    @property
    def mechanics(self) -> Section | None:
        """What a plan sets; None for a link of one length too."""
        return None if self.is_fixed else super().mechanics

    def problems(self) -> list[InputError]:
        """Lengths in the wrong order."""
        low, high = self.shortest, self.longest
        if low is None or high is None or high.value >= low.value:
            return []
        return [
            InputError(
                "The link's longest length is below its shortest",
                found=show(high.value, Kind.LENGTH),
                allowed=f"{show(low.value, Kind.LENGTH)} or more",
                todo="Exchange the two lengths or measure again.",
                place="longest",
            )
        ]


class BallJointSpacerPart(Part):
    """A spacer that sets a strut's lower ball joint lower."""

    KIND: ClassVar[str] = "ball_joint_spacer"
    TITLE: ClassVar[str] = "ball-joint spacer"
    MECHANICS: ClassVar[type[Section] | None] = JointSpacer
    CARRIED: ClassVar[tuple[str, ...]] = ("height",)
    NEEDED: ClassVar[Needed] = (("height",),)
    FITTING: ClassVar[Needed] = (("bolt",), ("bolt_spacing",))

    height: JointSpacerHeight | None = known_as(JointSpacer, "height")
    bolt: ranges.BoltSize | None = Field(default=None, description="bolts for which it is drilled")
    bolt_spacing: ranges.StudCircle | None = Field(default=None, description="distance between its bolts")


class TieRodSpacerPart(Part):
    """A spacer that sets the outer joint of a tie rod lower or higher."""

    KIND: ClassVar[str] = "tie_rod_spacer"
    TITLE: ClassVar[str] = "tie-rod spacer"
    MECHANICS: ClassVar[type[Section] | None] = TieRodSpacer
    CARRIED: ClassVar[tuple[str, ...]] = ("height",)
    NEEDED: ClassVar[Needed] = (("height",),)
    FITTING: ClassVar[Needed] = (("stud",),)

    height: JointSpacerHeight | None = known_as(JointSpacer, "height")
    stud: ranges.BoltSize | None = Field(default=None, description="thread of the joint's stud for which it is made")


class RackShimPart(Part):
    """Shims or blocks under the steering rack, for both its ends together."""

    KIND: ClassVar[str] = "rack_shim"
    TITLE: ClassVar[str] = "set of rack shims"
    MECHANICS: ClassVar[type[Section] | None] = RackHeight
    CARRIED: ClassVar[tuple[str, ...]] = ("higher", "shim")
    NEEDED: ClassVar[Needed] = (("higher",),)
    FITTING: ClassVar[Needed] = (("bolt",),)

    higher: Plate | None = Field(
        default=None, description="how much higher than found the whole set holds the rack; negative for lower"
    )
    shim: ShimThickness | None = Field(
        default=None,
        description="thickness of one of its shims where fewer may go in; one block for each end if not given",
    )
    bolt: ranges.BoltSize | None = Field(default=None, description="bolts for which they are drilled")
