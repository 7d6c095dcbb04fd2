"""The car file's part for a strut that locates the knuckle, sprung by a torsion bar in the lower arm's axis."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field

from jounce.car.axles.layout_sections import LayoutAxle, LayoutSide, bushes_of_layout
from jounce.car.axles.pivots import StrutPivots
from jounce.car.file.section import Section
from jounce.car.parts import Damper, Steering, SteeringBox, TorsionBarSection
from jounce.conventions.axes import Side
from jounce.layouts.description import Layout
from jounce.layouts.strut_torsion_bar import STRUT_TORSION_BAR

__all__ = ["StrutSide", "StrutTorsionBarAxle"]


StrutBushes = bushes_of_layout("strut-torsion-bar")


class StrutSide(LayoutSide):
    """One side, complete, in true coordinates."""

    LAYOUT: ClassVar[Layout] = STRUT_TORSION_BAR

    pivots: StrutPivots = Field(description="the pivot points")
    torsion_bar: TorsionBarSection = Field(description="the bar that springs the wheel")
    damper: Damper = Field(default=Damper(), description="the damper, which is the strut")


class StrutTorsionBarAxle(LayoutAxle):
    """An axle on torsion-bar struts."""

    LAYOUT: ClassVar[Layout] = STRUT_TORSION_BAR
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
