"""The pivot points of one side of an axle, as found, in true coordinates of the body."""

from __future__ import annotations

from pydantic import Field

from jounce.car.file.ranges import Point
from jounce.car.file.section import Section

__all__ = ["BeamPivots", "StrutPivots"]


class StrutPivots(Section):
    """Pivots of a strut that locates its knuckle, with a lower arm on two pivots."""

    wheel_centre: Point = Field(description="centre of the wheel: on its axis, in its middle plane")
    arm_front: Point = Field(
        description="front body pivot of the lower arm; with arm_rear it is the torsion bar's axis"
    )
    arm_rear: Point = Field(description="rear body pivot of the lower arm")
    ball_joint: Point = Field(description="centre of the lower ball joint, between arm and knuckle")
    strut_top: Point = Field(description="centre of the top mount")
    strut_foot: Point = Field(
        description="any point low on the strut's axis, fixed to the knuckle; damper lengths count from strut_top to it"
    )
    tie_rod_inner: Point = Field(description="inner joint of the tie rod, on the rack, wheels straight ahead")
    tie_rod_outer: Point = Field(description="outer joint of the tie rod, on the knuckle")
    drive_shaft_inner: Point | None = Field(default=None, description="centre of the drive shaft's inner joint")
    drive_shaft_outer: Point | None = Field(
        default=None, description="centre of the drive shaft's outer joint; the wheel centre where it is not given"
    )


class BeamPivots(Section):
    """Pivots of one side of a beam axle on trailing arms."""

    wheel_centre: Point = Field(description="centre of the wheel: on its axis, in its middle plane")
    arm_bush: Point = Field(description="centre of the front bush of the trailing arm, on the body")
    tube_end: Point = Field(description="a point on the tube's own line; with that of the other side it gives the line")
    spring_upper: Point = Field(description="centre of the spring's upper seat, on the body")
    spring_lower: Point = Field(description="centre of the spring's lower seat, on the axle")
    damper_upper: Point = Field(description="centre of the damper's upper eye, on the body")
    damper_lower: Point = Field(description="centre of the damper's lower eye, on the axle")
