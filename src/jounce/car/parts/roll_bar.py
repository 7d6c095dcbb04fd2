"""A bent anti-roll bar."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from jounce.car import ranges
from jounce.car.parts.shared import NOTHING, POISSON_RATIO, YOUNGS_MODULUS, check_apart, check_bore
from jounce.car.section import Section


class RollBar(Section):
    """One side of a bent anti-roll bar: the left-hand half of its centre line, and its drop link."""

    diameter: ranges.RollBarDiameter = Field(description="diameter of the bar")
    inner_diameter: ranges.InnerDiameter = Field(default=NOTHING, description="bore of a hollow bar; 0 for a solid one")
    arm_end: ranges.Point = Field(description="end of the bar's arm: where the drop link takes hold of it")
    bend: ranges.Point = Field(description="where arm and shaft of the bar meet, on the centre line")
    bush: ranges.Point = Field(description="centre of the bush in which the shaft turns")
    link_end: ranges.Point = Field(description="the drop link's other end")
    link_on: str = Field(description="what carries the drop link's other end: a word of the axle's layout")
    youngs_modulus: ranges.YoungsModulus = Field(default=YOUNGS_MODULUS, description="Young's modulus of the steel")
    poisson_ratio: ranges.PoissonRatio = Field(default=POISSON_RATIO, description="Poisson's ratio of the steel")
    link_rate: ranges.LinkRate | None = Field(
        default=None, description="rate of one drop link with its bushes, along the link; rigid where it is not given"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        check_bore(self.diameter, self.inner_diameter)
        check_apart(self, ("arm_end", "bend"), ("bend", "bush"), ("arm_end", "link_end"))
        return self
