"""What a beam axle or twist beam is made of."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.section import Section
from jounce.car.parts.shared import NOTHING, SHEAR_MODULUS, check_bore
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show


class Beam(Section):
    """How the beam axle is made; seen as a whole, nothing of it is mirrored but the bush axis."""

    turning_side: Literal["left", "right", "both", "neither"] = Field(
        description="side on which arm and hub carrier can turn about the tube's own line; neither: the tube twists"
    )
    tube_rate: ranges.TubeRate | None = Field(
        default=None, description="torsional rate of the tube between its arms, where neither arm turns on it"
    )
    bush_axis: ranges.Axis3 = Field(
        default=(0.0, 1.0, 0.0), description="direction along which the left front bush is soft; mirrored for the right"
    )
    spring_on: Literal["arm", "tube"] = Field(default="arm", description="what carries the spring's lower seat")
    damper_on: Literal["arm", "tube"] = Field(default="arm", description="what carries the damper's lower eye")


class CrossMember(Section):
    """The open section that joins the two arms of a twist beam."""

    rate: ranges.TubeRate | None = Field(default=None, description="torsional rate between the two arms")
    torsion_constant: ranges.TorsionConstant | None = Field(
        default=None, description="torsion constant of the section (not its polar moment: an open section's is small)"
    )
    length: ranges.InnerBarLength | None = Field(default=None, description="length that twists, between the arms")
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the steel")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.rate is None and (self.torsion_constant is None or self.length is None):
            todo = "Give rate, or torsion_constant and length, from which it follows."
            refuse(InputError("The cross-member's torsional rate is not known", todo=todo))
        return self


class PanhardRod(Section):
    """The rod that holds the beam axle sideways; its ends are true coordinates and are not mirrored."""

    body_end: ranges.Point = Field(description="joint on the body; true coordinates, y negative on the right")
    axle_end: ranges.Point = Field(description="joint on the axle; true coordinates, y negative on the right")
    diameter: ranges.RodDiameter | None = Field(default=None, description="outer diameter of the rod")
    inner_diameter: ranges.InnerDiameter = Field(
        default=NOTHING, description="bore of a tubular rod; 0 for a solid one"
    )
    shortest: ranges.RodLength | None = Field(default=None, description="shortest length of an adjustable rod")
    longest: ranges.RodLength | None = Field(default=None, description="longest length of an adjustable rod")
    thread_pitch: ranges.ThreadPitch | None = Field(
        default=None, description="change of the rod's length in one turn of its adjuster"
    )

    @property
    def length(self) -> float:
        """Distance between its joints, as found [m]."""
        return self.body_end.distance(self.axle_end)

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.diameter:
            check_bore(self.diameter, self.inner_diameter)
        if self.length <= 1e-3:
            refuse(InputError("The rod's ends are the same point", todo="Measure both.", place="axle_end"))
        low = self.shortest.value if self.shortest else 0.0
        high = self.longest.value if self.longest else float("inf")
        slack = 2e-3  # a rod at the end of its thread may be measured a little beyond it
        if not low - slack <= self.length <= high + slack:
            refuse(
                InputError(
                    "The rod's length between its joints is outside its own range",
                    found=show(self.length, Kind.LENGTH),
                    allowed=f"{show(low, Kind.LENGTH)} to {show(high, Kind.LENGTH)}",
                    todo="Measure the two ends, or the rod's shortest and longest length, again.",
                    place="shortest" if self.length < low else "longest",
                )
            )
        return self
