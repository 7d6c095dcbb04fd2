"""Places of a car that something must keep clear of or keep within: named by the shop, looked at over the whole travel."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.section import Section

__all__ = ["BrakeHose", "JointLimit", "LowPoint", "NearPoint", "WhichEnd", "WhichWheel"]

WhichEnd = Literal["front", "rear"]
WhichWheel = Literal["front", "rear", "front left", "front right", "rear left", "rear right"]
"""A wheel, or both of an axle: then a point is written for the left and mirrored for the right."""


class NearPoint(Section):
    """A point that a tyre comes near: an arch's lip, a rail, a strut's seat, an arm, a pipe."""

    wheel: WhichWheel = Field(description="whose tyre; an axle for both, with the point of the left side")
    at: ranges.Point = Field(description="the point with the car standing as found")
    on: str = Field(
        default="body", description='what carries it: "body", "wheel" for what steers, or a body of the axle'
    )


class LowPoint(Section):
    """A low point of the car: a sump, an exhaust, an arm's end, a jacking point."""

    axle: WhichEnd = Field(default="front", description="whose part carries it, where it is not on the body")
    at: ranges.Point = Field(description="the point with the car standing as found; true coordinates")
    on: str = Field(default="body", description='what carries it: "body", "wheel", or a body of the axle')


class BrakeHose(Section):
    """A hose between body and hub, of both wheels of an axle."""

    axle: WhichEnd = Field(description="of which axle")
    body_end: ranges.Point = Field(description="where it leaves its bracket on the body, left side, as found")
    wheel_end: ranges.Point = Field(description="where it ends on what carries the wheel, left side, as found")
    length: ranges.HoseLength = Field(description="free length between the two, drawn straight")


class JointLimit(Section):
    """How far a ball joint swings before its stud meets the housing, of both sides of an axle."""

    axle: WhichEnd = Field(description="of which axle")
    joint: str = Field(description="which joint or rod, by its name in the layout: lower_ball, tie_rod, panhard")
    end: Literal["inner", "outer"] = Field(default="outer", description="of a rod, which of its ends")
    max_angle: ranges.JointAngle = Field(description="largest swing of the stud from its middle")
    found: ranges.StudAngle | None = Field(
        default=None, description="how far it is swung from its middle with the car standing as found; 0 if not given"
    )
    stud: ranges.Axis3 | None = Field(
        default=None,
        description="direction of the stud, left side, as found; if not given along the steering axis, or square to a rod",
    )
