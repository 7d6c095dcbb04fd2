"""The pivot points of one side of an axle, as found, in true coordinates of the body."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Self

import numpy as np
from pydantic import Field, model_validator

from jounce.car.fields import refuse
from jounce.car.ranges import LEAST_DISTANCE, Point
from jounce.car.section import Section
from jounce.conventions.errors import InputError

if TYPE_CHECKING:
    from jounce.car.quantity import MeasuredPoint

__all__ = ["BeamPivots", "StrutPivots"]

MM_PER_M = 1e3


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

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = _coincident(
            {
                "arm_front": self.arm_front,
                "arm_rear": self.arm_rear,
                "ball_joint": self.ball_joint,
                "strut_top": self.strut_top,
                "strut_foot": self.strut_foot,
                "tie_rod_inner": self.tie_rod_inner,
                "tie_rod_outer": self.tie_rod_outer,
            }
        )
        if not problems:
            problems = _arm_without_length(self.arm_front, self.arm_rear, self.ball_joint)
        if problems:
            refuse(*problems)
        return self


class BeamPivots(Section):
    """Pivots of one side of a beam axle on trailing arms."""

    wheel_centre: Point = Field(description="centre of the wheel: on its axis, in its middle plane")
    arm_bush: Point = Field(description="centre of the front bush of the trailing arm, on the body")
    tube_end: Point = Field(description="a point on the tube's own line; with that of the other side it gives the line")
    spring_upper: Point = Field(description="centre of the spring's upper seat, on the body")
    spring_lower: Point = Field(description="centre of the spring's lower seat, on the axle")
    damper_upper: Point = Field(description="centre of the damper's upper eye, on the body")
    damper_lower: Point = Field(description="centre of the damper's lower eye, on the axle")

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = _coincident({"spring_upper": self.spring_upper, "spring_lower": self.spring_lower})
        problems += _coincident({"damper_upper": self.damper_upper, "damper_lower": self.damper_lower})
        problems += _coincident({"arm_bush": self.arm_bush, "tube_end": self.tube_end})
        problems += _coincident({"arm_bush": self.arm_bush, "wheel_centre": self.wheel_centre})
        if problems:
            refuse(*problems)
        return self


def _coincident(points: dict[str, MeasuredPoint]) -> list[InputError]:
    return [
        InputError(
            f'"{one}" and "{other}" are the same point',
            found=f"{points[one].distance(points[other]) * MM_PER_M:.3g} mm between them",
            allowed=f"more than {LEAST_DISTANCE * MM_PER_M:g} mm",
            todo="Measure the one that was copied.",
            place=other,
        )
        for one, other in combinations(points, 2)
        if points[one].distance(points[other]) <= LEAST_DISTANCE
    ]


def _arm_without_length(front: MeasuredPoint, rear: MeasuredPoint, ball_joint: MeasuredPoint) -> list[InputError]:
    axis = (front.xyz - rear.xyz) / front.distance(rear)
    lever = float(np.linalg.norm(np.cross(ball_joint.xyz - rear.xyz, axis)))
    if lever > LEAST_DISTANCE:
        return []
    return [
        InputError(
            "The ball joint lies on the axis of the lower arm, so the arm cannot move it",
            found=f"{lever * MM_PER_M:.3g} mm from the axis",
            todo="Measure arm_front, arm_rear and ball_joint again.",
            place="ball_joint",
        )
    ]
