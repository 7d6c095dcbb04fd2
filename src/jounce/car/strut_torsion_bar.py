"""The car file's part for a strut that locates the knuckle, sprung by a torsion bar in the lower arm's axis."""

from __future__ import annotations

from typing import Any, ClassVar, Literal, Self

from pydantic import Field, model_validator

from jounce.car.axle import Axle
from jounce.car.consistency import check_damper_length, check_equal_bar, check_stop
from jounce.car.fields import refuse
from jounce.car.layout_sections import bushes_of_layout
from jounce.car.mirror import BothSides
from jounce.car.parts import (
    Alignment,
    BumpStop,
    Clearance,
    Damper,
    DriveShaft,
    RollBar,
    Steering,
    SteeringBox,
    TorsionBar,
    Wheel,
)
from jounce.car.pivots import StrutPivots
from jounce.car.section import Section
from jounce.conventions.axes import SIDES, Side

__all__ = ["StrutSide", "StrutTorsionBarAxle"]


StrutBushes = bushes_of_layout("strut-torsion-bar")


class StrutSide(Section):
    """One side, complete, in true coordinates."""

    pivots: StrutPivots = Field(description="the pivot points")
    alignment: Alignment = Field(description="camber and toe as found")
    wheel: Wheel = Field(description="tyre and rim")
    torsion_bar: TorsionBar = Field(description="the bar that springs the wheel")
    damper: Damper = Field(default=Damper(), description="the damper, which is the strut")
    bump_stop: BumpStop | None = Field(default=None, description="the rubber on the damper's rod")
    roll_bar: RollBar | None = Field(default=None, description="the anti-roll bar")
    roll_bar_2: RollBar | None = Field(
        default=None, description="a second anti-roll bar; its link_end and link_on are those of the first if not given"
    )
    drive_shaft: DriveShaft = Field(default=DriveShaft(), description="limits of the drive shaft")
    clearance: Clearance = Field(default=Clearance(), description="room for the wheel")

    @model_validator(mode="after")
    def _check(self) -> Self:
        as_found = self.pivots.strut_top.distance(self.pivots.strut_foot)
        problems = check_damper_length(self.damper, as_found, "from strut_top to strut_foot")
        problems += check_stop(self.bump_stop, self.damper)
        if problems:
            refuse(*problems)
        return self


class StrutTorsionBarAxle(Axle):
    """An axle on torsion-bar struts."""

    SIDE_MODEL: ClassVar[type[Section]] = StrutSide
    layout: Literal["strut-torsion-bar"] = Field(description="kind of axle")
    left: StrutSide = Field(description="left side; in a file, keys that differ from the sections above")
    right: StrutSide = Field(description="right side; in a file, keys that differ from the mirrored sections above")
    steering: Steering | None = Field(default=None, description="rack and pinion")
    steering_box: SteeringBox | None = Field(default=None, description="steering box with a relay rod")
    bushes: StrutBushes = Field(default=StrutBushes(), description="bushes of its joints")  # type: ignore[valid-type]

    def side(self, side: Side) -> StrutSide:
        """One side, complete, in true coordinates.

        Args:
            side: which

        """
        return self.left if side is Side.LEFT else self.right

    @classmethod
    def prepare(cls, written: dict[str, Any]) -> BothSides:
        """Both sides, with the second bar's links and the outer shaft joint filled in.

        Args:
            written: the axle's part of the file

        """
        sides = super().prepare(written)
        for side in SIDES:
            sides.share(side, "roll_bar_2", "link_end", ("roll_bar", "link_end"))
            sides.share(side, "roll_bar_2", "link_on", ("roll_bar", "link_on"))
            pivots = sides.sides[side].get("pivots")
            if isinstance(pivots, dict) and "drive_shaft_inner" in pivots:
                sides.share(side, "pivots", "drive_shaft_outer", ("pivots", "wheel_centre"))
        return sides

    @model_validator(mode="after")
    def _check(self) -> Self:
        first, carriers = self.left.roll_bar, {"arm", "strut"}
        problems = check_equal_bar("roll_bar", first, self.right.roll_bar, carriers)
        shared = (
            {first.link_on} if first else set()
        )  # what the second bar may have taken over is told of the first alone
        problems += check_equal_bar("roll_bar_2", self.left.roll_bar_2, self.right.roll_bar_2, carriers | shared)
        if problems:
            refuse(*problems)
        return self
