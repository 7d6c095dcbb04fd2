"""The car file's part for a beam axle on trailing arms, held sideways by a Panhard rod."""

from __future__ import annotations

from typing import Any, ClassVar, Literal, Self

from pydantic import Field, model_validator

from jounce.car.axles.axle import Axle
from jounce.car.axles.layout_sections import bushes_of_layout
from jounce.car.axles.pivots import BeamPivots
from jounce.car.file.consistency import check_damper_length, check_equal_bar, check_stop
from jounce.car.file.fields import refuse
from jounce.car.file.mirror import BothSides
from jounce.car.file.section import Section
from jounce.car.parts import (
    Alignment,
    AntiRollBar,
    Beam,
    BumpStopSection,
    Clearance,
    Damper,
    InnerBar,
    PanhardRod,
    Perch,
    Spring,
    Wheel,
)
from jounce.conventions.axes import Side, mirrored

__all__ = ["BeamPanhardAxle", "BeamSide"]


BeamBushes = bushes_of_layout("beam-panhard")


class BeamSide(Section):
    """One side, complete, in true coordinates."""

    pivots: BeamPivots = Field(description="the pivot points")
    alignment: Alignment = Field(description="camber and toe as found")
    wheel: Wheel = Field(description="tyre and rim")
    spring: Spring = Field(description="the coil spring")
    perch: Perch | None = Field(default=None, description="the spring's threaded seat, where there is one")
    damper: Damper = Field(default=Damper(), description="the damper")
    bump_stop: BumpStopSection | None = Field(default=None, description="the rubber on the damper's rod")
    roll_bar: AntiRollBar | None = Field(
        default=None, description="an added anti-roll bar, carried by the tube, its links up to the body"
    )
    clearance: Clearance = Field(default=Clearance(), description="room for the wheel")

    @model_validator(mode="after")
    def _check(self) -> Self:
        as_found = self.pivots.damper_upper.distance(self.pivots.damper_lower)
        problems = check_damper_length(self.damper, as_found, "from damper_upper to damper_lower")
        problems += check_stop(self.bump_stop, self.damper)
        if problems:
            refuse(*problems)
        return self


class BeamPanhardAxle(Axle):
    """A beam axle on trailing arms with a Panhard rod and a bar inside the tube."""

    SIDE_MODEL: ClassVar[type[Section]] = BeamSide
    layout: Literal["beam-panhard"] = Field(description="kind of axle")
    left: BeamSide = Field(description="left side; in a file, keys that differ from the sections above")
    right: BeamSide = Field(description="right side; in a file, keys that differ from the mirrored sections above")
    beam: Beam = Field(description="how the beam is made")
    panhard: PanhardRod = Field(description="the rod that holds the axle sideways")
    inner_bar: InnerBar | None = Field(default=None, description="the bar inside the tube")
    bushes: BeamBushes = Field(default=BeamBushes(), description="bushes of its joints")  # type: ignore[valid-type]

    def side(self, side: Side) -> BeamSide:
        """One side, complete, in true coordinates.

        Args:
            side: which

        """
        return self.left if side is Side.LEFT else self.right

    def bush_axis(self, side: Side) -> tuple[float, float, float]:
        """Direction along which the arm's front bush of a side is soft, body frame, of length one [-].

        Args:
            side: which

        """
        return self.beam.bush_axis if side is Side.LEFT else mirrored(self.beam.bush_axis)

    @classmethod
    def prepare(cls, written: dict[str, Any]) -> BothSides:
        """Both sides; the links of an added bar end on the body unless something else is written.

        Args:
            written: the axle's part of the file

        """
        sides = super().prepare(written)
        for sections in sides.sides.values():
            bar = sections.get("roll_bar")
            if isinstance(bar, dict):
                bar.setdefault("link_on", "body")
        return sides

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = check_equal_bar("roll_bar", self.left.roll_bar, self.right.roll_bar, {"body"})
        if problems:
            refuse(*problems)
        return self
