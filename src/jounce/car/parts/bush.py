"""A rubber bush in place of an ideal joint."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError


class Bush(Section):
    """A rubber bush in place of an ideal joint; what is not given does not give way, or is a joint's own freedom.

    ``radial`` and ``axial`` stand in for what the joint would hold: where they are not given the bush is as rigid as the
    joint. ``torsional`` and ``conical`` resist turning, which an ideal joint leaves free.
    """

    radial: ranges.BushRate | None = Field(default=None, description="rate square to the bush's axis")
    axial: ranges.BushRate | None = Field(default=None, description="rate along the bush's axis; along a rod, its only")
    torsional: ranges.BushTwist | None = Field(default=None, description="torsional rate about the bush's axis")
    conical: ranges.BushTwist | None = Field(default=None, description="rate against tilting of the bush's axis")
    axis: ranges.Axis3 | None = Field(
        default=None, description="axis of the left-hand bush; mirrored for the right; the joint's own if not given"
    )
    rigid: bool = Field(default=False, description="true takes this joint as ideal in spite of its rates")
    radial_curve: ranges.BushCurve | None = Field(
        default=None, description="rows of displacement, force in place of a radial rate, the same both ways"
    )
    axial_curve: ranges.BushCurve | None = Field(
        default=None, description="rows of displacement, force in place of an axial rate, the same both ways"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        for rate, curve in (("radial", "radial_curve"), ("axial", "axial_curve")):
            if getattr(self, rate) is not None and getattr(self, curve) is not None:
                refuse(InputError(f'Both "{rate}" and "{curve}" are given', todo="Give one of the two.", place=curve))
        return self
