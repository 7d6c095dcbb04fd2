"""Torsion bars: the one that springs a wheel and the one inside a beam axle's tube."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from jounce.car import ranges
from jounce.car.parts.shared import NOTHING, SHEAR_MODULUS, check_bore
from jounce.car.section import Section


class Adjuster(Section):
    """The bolt that turns a torsion bar's anchor."""

    pitch: ranges.ThreadPitch = Field(description="thread pitch of the bolt: its travel in one turn")
    lever: ranges.AdjusterLever = Field(description="lever of the anchor: bolt to the bar's axis")
    turns_up: ranges.Turns = Field(description="turns left in the sense that raises the car")
    turns_down: ranges.Turns = Field(description="turns left in the sense that lowers the car")


class TorsionBar(Section):
    """The bar that springs one front wheel; its axis is that of the lower arm."""

    diameter: ranges.TorsionBarDiameter = Field(description="diameter of the bar between its splines")
    inner_diameter: ranges.InnerDiameter = Field(default=NOTHING, description="bore of a hollow bar; 0 for a solid one")
    active_length: ranges.TorsionBarLength = Field(description="length that twists, between the splines")
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the steel")
    stress_limit: ranges.StressLimit | None = Field(default=None, description="shear stress that the bar may see")
    material: str = Field(default="", description="steel and treatment, as text")
    preset: bool | None = Field(default=None, description="whether the bar was pre-twisted beyond yield by its maker")
    splines_arm: ranges.SplineCount | None = Field(default=None, description="number of splines at the arm")
    splines_anchor: ranges.SplineCount | None = Field(default=None, description="number of splines at the anchor")
    series_rate: ranges.SeriesRate | None = Field(
        default=None, description="torsional rate of what gives besides the bar: tube, anchor, lever"
    )
    adjuster: Adjuster | None = Field(default=None, description="adjusting bolt at the anchor, where there is one")

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_bore(self.diameter, self.inner_diameter)
        return self


class InnerBar(Section):
    """The bar inside the tube of a beam axle, twisted by the difference of the two arms' angles."""

    diameter: ranges.RollBarDiameter = Field(description="diameter of the bar")
    inner_diameter: ranges.InnerDiameter = Field(default=NOTHING, description="bore of a hollow bar; 0 for a solid one")
    active_length: ranges.InnerBarLength = Field(description="length that twists, between its fixings")
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the steel")
    series_rate: ranges.SeriesRate | None = Field(
        default=None, description="torsional rate of what gives besides the bar: its fixings, the tube"
    )
    stress_limit: ranges.StressLimit | None = Field(default=None, description="shear stress that the bar may see")

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_bore(self.diameter, self.inner_diameter)
        return self
