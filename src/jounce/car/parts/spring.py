"""Coil and leaf springs, and threaded seats."""

from __future__ import annotations

from typing import Self

from pydantic import Field, model_validator

from jounce.car import ranges
from jounce.car.fields import refuse
from jounce.car.parts.shared import SHEAR_MODULUS
from jounce.car.section import Section
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show


class Spring(Section):
    """One coil spring: its rate, or the wire from which the rate follows."""

    rate: ranges.SpringRate | None = Field(default=None, description="rate of the spring")
    free_length: ranges.SpringLength | None = Field(default=None, description="length without load")
    solid_length: ranges.SpringLength | None = Field(default=None, description="length with all coils touching")
    wire: ranges.WireDiameter | None = Field(default=None, description="diameter of the wire")
    mean_diameter: ranges.CoilDiameter | None = Field(
        default=None, description="diameter of the coil, centre of wire to centre of wire"
    )
    active_turns: ranges.CoilTurns | None = Field(
        default=None, description="turns that work, without the dead end turns"
    )
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the wire")

    @model_validator(mode="after")
    def _check(self) -> Self:
        wire = {"wire": self.wire, "mean_diameter": self.mean_diameter, "active_turns": self.active_turns}
        missing = [name for name, value in wire.items() if value is None]
        if self.rate is None and missing:
            refuse(
                InputError(
                    "The spring's rate is not known",
                    found=f"neither rate nor {', '.join(missing)}",
                    todo="Give rate, or wire, mean_diameter and active_turns, from which it follows.",
                )
            )
        if self.wire and self.mean_diameter and self.mean_diameter.value <= 2 * self.wire.value:
            refuse(
                InputError(
                    "The coil is too narrow for its wire",
                    found=show(self.mean_diameter.value, Kind.LENGTH),
                    allowed=f"more than {show(2 * self.wire.value, Kind.LENGTH)}",
                    place="mean_diameter",
                )
            )
        if self.free_length and self.solid_length and self.free_length.value <= self.solid_length.value:
            refuse(
                InputError(
                    "The spring is not longer free than solid",
                    found=show(self.free_length.value, Kind.LENGTH),
                    allowed=f"more than {show(self.solid_length.value, Kind.LENGTH)}",
                    todo="Exchange the two lengths or measure again.",
                    place="free_length",
                )
            )
        return self


class LeafSpring(Section):
    """One leaf spring, both halves together."""

    rate: ranges.SpringRate = Field(description="rate of the whole leaf at its seat")


class Perch(Section):
    """A threaded spring seat; positions count from the measured seat, plus lifts the car."""

    lowest: ranges.PerchPosition = Field(description="lowest position of the seat; negative lowers the car")
    highest: ranges.PerchPosition = Field(description="highest position of the seat")
    pitch: ranges.ThreadPitch = Field(description="travel of the seat in one turn")

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.highest.value <= self.lowest.value:
            refuse(
                InputError(
                    "The highest position is not above the lowest",
                    found=show(self.highest.value, Kind.LENGTH),
                    allowed=f"more than {show(self.lowest.value, Kind.LENGTH)}",
                    place="highest",
                )
            )
        return self
