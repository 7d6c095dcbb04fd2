"""Rods and links whose length sets where a wheel or an axle stands: toe, camber, caster, the thrust line, the middle."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.parts.changed import AdjustableRod, SetRods, ToeRods, TrailingLinks
from jounce.shelf.part import Needed, Part

__all__ = [
    "AdjustableLinkPart",
    "AdjustableRodPart",
    "CamberLinkPart",
    "CasterLinkPart",
    "PanhardPart",
    "ToeRodPart",
    "TrailingLinkPart",
]


class AdjustableRodPart(Part):
    """What every adjustable rod has: its lengths, its thread."""

    CARRIED: ClassVar[tuple[str, ...]] = ("shortest", "longest", "thread_pitch")
    NEEDED: ClassVar[Needed] = (("shortest",), ("longest",))

    shortest: ranges.SetRodLength | None = Field(default=None, description="shortest length between its joints")
    longest: ranges.SetRodLength | None = Field(default=None, description="longest length between its joints")
    thread_pitch: ranges.ThreadPitch | None = Field(
        default=None, description="change of length in one turn of its adjuster"
    )
    diameter: ranges.RodDiameter | None = Field(default=None, description="outer diameter of the rod")


class PanhardPart(AdjustableRodPart):
    """An adjustable Panhard rod."""

    KIND: ClassVar[str] = "panhard"
    TITLE: ClassVar[str] = "Panhard rod"
    MECHANICS: ClassVar[type[Section] | None] = AdjustableRod
    NEEDED: ClassVar[Needed] = (*AdjustableRodPart.NEEDED, ("thread_pitch",))
    FITTING: ClassVar[Needed] = (("bolt",),)

    bolt: ranges.BoltSize | None = Field(default=None, description="bore of its joints, for the bolts at both ends")


class AdjustableLinkPart(AdjustableRodPart):
    """A rod of each side: what carries its two ends differs."""

    MECHANICS: ClassVar[type[Section] | None] = SetRods
    FITTING: ClassVar[Needed] = (("bolt_body",), ("bolt_wheel",))

    bolt_body: ranges.BoltSize | None = Field(
        default=None, description="bolt, or thread of the stud, at its inner or front end: body, subframe or rack"
    )
    bolt_wheel: ranges.BoltSize | None = Field(
        default=None, description="bolt, or thread of the stud, at its other end: knuckle, arm or axle"
    )


class ToeRodPart(AdjustableLinkPart):
    """An adjustable tie rod, track control rod or toe link."""

    KIND: ClassVar[str] = "toe_rod"
    TITLE: ClassVar[str] = "adjustable toe rod"
    MECHANICS: ClassVar[type[Section] | None] = ToeRods


class CamberLinkPart(AdjustableLinkPart):
    """An adjustable link whose length sets camber."""

    KIND: ClassVar[str] = "camber_link"
    TITLE: ClassVar[str] = "adjustable camber link"


class CasterLinkPart(AdjustableLinkPart):
    """An adjustable link whose length sets caster: a tension or compression rod."""

    KIND: ClassVar[str] = "caster_link"
    TITLE: ClassVar[str] = "adjustable caster link"


class TrailingLinkPart(AdjustableLinkPart):
    """An adjustable trailing link or arm of a beam axle; where a side has two links, both of them."""

    KIND: ClassVar[str] = "trailing_link"
    TITLE: ClassVar[str] = "adjustable trailing link"
    MECHANICS: ClassVar[type[Section] | None] = TrailingLinks
    CARRIED: ClassVar[tuple[str, ...]] = (*AdjustableLinkPart.CARRIED, "upper_shortest", "upper_longest")

    upper_shortest: ranges.SetRodLength | None = Field(
        default=None, description="where a side has two links: shortest length of the upper one, which comes with it"
    )
    upper_longest: ranges.SetRodLength | None = Field(
        default=None, description="where a side has two links: longest length of the upper one"
    )
