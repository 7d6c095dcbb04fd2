"""What sets alignment and is no rod: shims under hubs, what moves upper joints, brackets of Watt linkages."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section
from jounce.car.parts.changed import Eccentricity, HubShims, JointSlots, Reach, ShimThickness, SlotStep, WattBracket
from jounce.shelf.part import Needed, Part, known_as

__all__ = ["HubShimPart", "UpperJointPart", "WattBracketPart"]


class HubShimPart(Part):
    """A set of shims for the flange of a hub or stub axle."""

    KIND: ClassVar[str] = "hub_shim"
    TITLE: ClassVar[str] = "set of hub shims"
    MECHANICS: ClassVar[type[Section] | None] = HubShims
    CARRIED: ClassVar[tuple[str, ...]] = ("flange", "thickest", "step")
    NEEDED: ClassVar[Needed] = (("flange",), ("thickest",))
    FITTING: ClassVar[Needed] = (("bolts",), ("bolt_circle",))

    flange: ranges.FlangeLength | None = known_as(HubShims, "flange")
    thickest: ShimThickness | None = Field(default=None, description="thickest pack that the set makes under one edge")
    step: ShimThickness | None = Field(default=None, description="step of the thicknesses that it has")
    bolts: ranges.BoltCount | None = Field(default=None, description="number of bolts that hold the flange")
    bolt_circle: ranges.StudCircle | None = Field(
        default=None, description="diameter of the circle through these bolts"
    )


class UpperJointPart(Part):
    """A plate with slots, eccentric bolts or a set of shims that moves a wishbone's upper joint."""

    KIND: ClassVar[str] = "upper_joint"
    TITLE: ClassVar[str] = "upper-joint adjuster"
    MECHANICS: ClassVar[type[Section] | None] = JointSlots
    CARRIED: ClassVar[tuple[str, ...]] = (
        "reach_inward",
        "reach_outward",
        "reach_fore",
        "reach_rear",
        "step",
        "eccentricity",
    )
    NEEDED: ClassVar[Needed] = (("reach_inward", "eccentricity"), ("reach_outward", "eccentricity"))
    FITTING: ClassVar[Needed] = (("bolt",), ("bolt_spacing",))

    reach_inward: Reach | None = Field(default=None, description="how far it moves the joint inward")
    reach_outward: Reach | None = Field(default=None, description="how far it moves the joint outward")
    reach_fore: Reach | None = Field(default=None, description="how far it moves the joint forward")
    reach_rear: Reach | None = Field(default=None, description="how far it moves the joint to the rear")
    step: SlotStep | None = Field(default=None, description="step of its holes, teeth or shims; anywhere if not given")
    eccentricity: Eccentricity | None = known_as(JointSlots, "eccentricity")
    bolt: ranges.BoltSize | None = Field(default=None, description="bolts that hold the joint or the arm's pivot")
    bolt_spacing: ranges.StudCircle | None = Field(default=None, description="distance between these bolts")


class WattBracketPart(Part):
    """A bracket of a Watt linkage's rocker that can be moved sideways."""

    KIND: ClassVar[str] = "watt_bracket"
    TITLE: ClassVar[str] = "movable Watt bracket"
    MECHANICS: ClassVar[type[Section] | None] = WattBracket
    CARRIED: ClassVar[tuple[str, ...]] = ("left", "right", "step")
    NEEDED: ClassVar[Needed] = (("left",), ("right",))
    FITTING: ClassVar[Needed] = (("bolt",), ("bolt_spacing",))

    left: Reach | None = Field(
        default=None, description="how far it moves the rocker to the left of the car's own place"
    )
    right: Reach | None = Field(default=None, description="how far it moves the rocker to the right of it")
    step: SlotStep | None = known_as(WattBracket, "step")
    bolt: ranges.BoltSize | None = Field(default=None, description="bolts that hold the bracket")
    bolt_spacing: ranges.StudCircle | None = Field(default=None, description="distance between these bolts")
