"""Coil springs, helper and tender springs, threaded perches."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field

from jounce.car.file import ranges
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.parts import Perch, Spring
from jounce.car.parts.spring import EndsWord, StackedSpring
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.elements.springs.coil import check_index
from jounce.shelf.part import Needed, Part, known_as

__all__ = ["CoilPart", "HelperPart", "PerchPart"]


class _Wound(Part):
    """What any coil spring on the shelf has."""

    free_length: ranges.SpringLength | None = known_as(Spring, "free_length")
    solid_length: ranges.SpringLength | None = known_as(Spring, "solid_length")
    wire: ranges.WireDiameter | None = known_as(Spring, "wire")
    mean_diameter: ranges.CoilDiameter | None = known_as(Spring, "mean_diameter")
    outer_diameter: ranges.CoilDiameter | None = known_as(Spring, "outer_diameter")
    inner_diameter: ranges.CoilDiameter | None = known_as(Spring, "inner_diameter")
    active_turns: ranges.CoilTurns | None = known_as(Spring, "active_turns")
    total_turns: ranges.CoilTurns | None = known_as(Spring, "total_turns")
    ends: EndsWord | None = known_as(Spring, "ends")
    shear_modulus: ranges.ShearModulus | None = known_as(Spring, "shear_modulus")

    @property
    def inside(self) -> Measured | None:
        """Inside diameter by whichever diameter is given [m]; None where none is known."""
        if self.inner_diameter is not None:
            return self.inner_diameter
        if self.wire is None:
            return None
        for outside, wires in ((self.mean_diameter, 1), (self.outer_diameter, 2)):
            if outside is not None:
                band = outside.plus_minus + wires * self.wire.plus_minus
                return Measured(outside.value - wires * self.wire.value, band, "from wire and diameter")
        return None

    def problems(self) -> list[InputError]:
        """Lengths in the wrong order, or a wire that no such coil is wound of."""
        found = []
        free, solid = self.free_length, self.solid_length
        if free is not None and solid is not None and free.value <= solid.value:
            found.append(
                InputError(
                    "The spring is not longer free than solid",
                    found=show(free.value, Kind.LENGTH),
                    allowed=f"more than {show(solid.value, Kind.LENGTH)}",
                    todo="Exchange the two lengths or measure again.",
                    place="free_length",
                )
            )
        if self.wire is not None and self.inside is not None:
            try:
                check_index(1 + self.inside.value / self.wire.value)
            except InputError as problem:
                problem.place = "wire"
                found.append(problem)
        return found


class CoilPart(_Wound):
    """A coil spring: by its rate, by a curve, or by the wire from which the rate follows."""

    KIND: ClassVar[str] = "coil"
    TITLE: ClassVar[str] = "coil spring"
    MECHANICS: ClassVar[type[Section] | None] = Spring
    CARRIED: ClassVar[tuple[str, ...]] = (
        "rate",
        "curve",
        "second_rate",
        "second_rate_from",
        "free_length",
        "solid_length",
        "wire",
        "mean_diameter",
        "outer_diameter",
        "inner_diameter",
        "active_turns",
        "total_turns",
        "ends",
        "shear_modulus",
    )
    FITTING: ClassVar[Needed] = (("inner_diameter", "mean_diameter", "outer_diameter", "seat_diameter_lower"),)

    rate: ranges.SpringRate | None = known_as(Spring, "rate")
    curve: ranges.SpringCurve | None = known_as(Spring, "curve")
    second_rate: ranges.SpringRate | None = known_as(Spring, "second_rate")
    second_rate_from: ranges.Compression | None = known_as(Spring, "second_rate_from")
    seat_diameter_upper: ranges.SeatDiameter | None = Field(
        default=None, description="inside diameter of the end turn above, where it is another than that of the coil"
    )
    seat_diameter_lower: ranges.SeatDiameter | None = Field(
        default=None, description="inside diameter of the end turn below, where it is another than that of the coil"
    )

    @property
    def needed(self) -> Needed:
        """A rate, a curve, or all from which the rate follows; and both lengths."""
        by_wire = [
            ("wire",),
            ("mean_diameter", "outer_diameter", "inner_diameter"),
            ("active_turns", "total_turns"),
            *([] if self.active_turns is not None else [("ends",)]),
        ]
        rate: Needed = () if all(self._tells(keys) for keys in by_wire) else (("rate", "curve"),)
        solid = ("solid_length",) if self.total_turns is None or self.ends is None else ("solid_length", "wire")
        return (*rate, ("free_length",), solid)

    @property
    def mechanics(self) -> Section | None:
        """The spring; its lengths may be unknown, its rate may not."""
        rate = [keys for keys in self.needed if "rate" in keys]
        if not all(self._tells(keys) for keys in rate):
            return None
        return Spring.model_validate(self.as_written)


class HelperPart(_Wound):
    """A helper spring, which only keeps the main spring seated, or a tender spring, which works with it."""

    KIND: ClassVar[str] = "helper"
    TITLE: ClassVar[str] = "helper or tender spring"
    MECHANICS: ClassVar[type[Section] | None] = StackedSpring
    CARRIED: ClassVar[tuple[str, ...]] = (
        "rate",
        "free_length",
        "solid_length",
        "wire",
        "mean_diameter",
        "outer_diameter",
        "inner_diameter",
        "active_turns",
        "total_turns",
        "ends",
        "shear_modulus",
    )
    NEEDED: ClassVar[Needed] = (("rate",), ("free_length",), ("solid_length",))
    FITTING: ClassVar[Needed] = (("inner_diameter", "mean_diameter", "outer_diameter"),)

    role: Literal["helper", "tender"] = Field(default="helper", description="what it does in the stack")
    rate: ranges.HelperRate | None = known_as(StackedSpring, "rate")
    free_length: ranges.HelperLength | None = known_as(StackedSpring, "free_length")
    solid_length: ranges.HelperLength | None = known_as(StackedSpring, "solid_length")


class PerchPart(Part):
    """A threaded perch: on the car's own seat, or on a damper's body; with or without an upper seat."""

    KIND: ClassVar[str] = "perch"
    TITLE: ClassVar[str] = "threaded perch"
    MECHANICS: ClassVar[type[Section] | None] = Perch
    CARRIED: ClassVar[tuple[str, ...]] = ("lowest", "highest", "pitch")
    NEEDED: ClassVar[Needed] = (("lowest",), ("highest",), ("pitch",))

    mounts_on: Literal["seat", "damper"] = Field(default="seat", description="what carries it")
    lowest: ranges.PerchPosition | None = known_as(Perch, "lowest")
    highest: ranges.PerchPosition | None = known_as(Perch, "highest")
    pitch: ranges.ThreadPitch | None = known_as(Perch, "pitch")
    seat_diameter: ranges.SeatDiameter | None = Field(
        default=None, description="diameter of the recess that goes over the collar of the car's own lower seat"
    )
    body_diameter: ranges.DamperBody | None = Field(
        default=None, description="diameter of the damper's body over which its sleeve goes"
    )
    spring_diameter: ranges.SeatDiameter | None = Field(
        default=None, description="inside diameter of the springs for which its seats are made"
    )
    with_upper_seat: bool = Field(default=False, description="whether an upper seat for such springs comes with it")

    @property
    def fitting(self) -> Needed:
        """The spring's diameter, and the diameter of what carries the perch."""
        carrier = "seat_diameter" if self.mounts_on == "seat" else "body_diameter"
        return (("spring_diameter",), (carrier,))
