"""A damper and the bump stop on its rod."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from jounce.car import ranges
from jounce.car.fields import refuse
from jounce.car.parts.shared import NOTHING
from jounce.car.section import Section
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show


class Damper(Section):
    """One damper."""

    closed_length: ranges.DamperLength | None = Field(default=None, description="length when fully closed")
    open_length: ranges.DamperLength | None = Field(default=None, description="length when fully open")
    gas_force: ranges.GasForce = Field(default=NOTHING, description="force with which the gas pushes the rod out")
    curve: ranges.DamperCurve | None = Field(default=None, description="rows of rod speed, bump force, rebound force")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.closed_length and self.open_length and self.open_length.value <= self.closed_length.value:
            refuse(
                InputError(
                    "The damper is not longer open than closed",
                    found=show(self.open_length.value, Kind.LENGTH),
                    allowed=f"more than {show(self.closed_length.value, Kind.LENGTH)}",
                    todo="Exchange the two lengths or measure again.",
                    place="open_length",
                )
            )
        return self


class BumpStop(Section):
    """The rubber that ends bump travel, on the damper's rod."""

    gap: ranges.StopGap | None = Field(default=None, description="damper travel from as found until the rubber touches")
    free_height: ranges.StopHeight | None = Field(
        default=None, description="height of the rubber; it touches at closed_length + free_height of the damper"
    )
    curve: ranges.StopCurve = Field(description="rows of compression, force; linear beyond the last row")
    solid: ranges.StopHeight | None = Field(default=None, description="compression at which the rubber is solid")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if (self.gap is None) == (self.free_height is None):
            found = 'neither "gap" nor "free_height"' if self.gap is None else 'both "gap" and "free_height"'
            refuse(
                InputError("It is not clear where the stop touches", found=found, todo="Give exactly one of the two.")
            )
        return self
