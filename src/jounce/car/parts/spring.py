"""Coil and leaf springs, and threaded seats."""

from __future__ import annotations

from typing import Literal, Self

import numpy as np
from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.section import Section
from jounce.car.parts.shared import SHEAR_MODULUS
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show
from jounce.elements.springs.coil import ENDS_OF_WORD, helical_rate, solid_length
from jounce.elements.springs.coil_spring import two_rates
from jounce.elements.springs.progressive import ConstantFrequency, SpringCurve
from jounce.numerics.arrays import Array

EndsWord = Literal["closed-ground", "closed", "plain-ground", "plain", "hot-formed-ground"]
_DIAMETERS = ("mean_diameter", "outer_diameter", "inner_diameter")


class CoilDimensions(Section):
    """What any coil spring has: a rate or the wire from which it follows, lengths, turns and the form of its ends."""

    rate: ranges.SpringRate | None = Field(default=None, description="rate of the spring")
    free_length: ranges.SpringLength | None = Field(default=None, description="length without load")
    solid_length: ranges.SpringLength | None = Field(
        default=None, description="length with all coils touching; follows from wire, total_turns and ends if not given"
    )
    wire: ranges.WireDiameter | None = Field(default=None, description="diameter of the wire")
    mean_diameter: ranges.CoilDiameter | None = Field(
        default=None, description="diameter of the coil, centre of wire to centre of wire"
    )
    outer_diameter: ranges.CoilDiameter | None = Field(default=None, description="outside diameter, in its place")
    inner_diameter: ranges.CoilDiameter | None = Field(default=None, description="inside diameter, in its place")
    active_turns: ranges.CoilTurns | None = Field(
        default=None, description="turns that work, without the dead end turns"
    )
    total_turns: ranges.CoilTurns | None = Field(default=None, description="turns from end to end")
    dead_turns: ranges.DeadTurns | None = Field(
        default=None, description="turns that do not work, both ends together; follow from ends if not given"
    )
    ends: EndsWord | None = Field(default=None, description="form of the ends")
    shear_modulus: ranges.ShearModulus = Field(default=SHEAR_MODULUS, description="shear modulus of the wire")

    @property
    def coil(self) -> float | None:
        """Mean diameter by whichever diameter is given, None where none is [m]."""
        if self.mean_diameter is not None:
            return self.mean_diameter.value
        if self.wire is None:
            return None
        if self.outer_diameter is not None:
            return self.outer_diameter.value - self.wire.value
        return None if self.inner_diameter is None else self.inner_diameter.value + self.wire.value

    @property
    def moving_turns(self) -> float | None:
        """Active turns, given or from all turns, None where they are not known [-]."""
        if self.active_turns is not None:
            return self.active_turns.value
        if self.total_turns is None:
            return None
        if self.dead_turns is not None:
            return self.total_turns.value - self.dead_turns.value
        return None if self.ends is None else self.total_turns.value - ENDS_OF_WORD[self.ends].dead_turns

    @property
    def first_rate(self) -> float | Array | None:
        """Rate as long as all turns move, given or from the wire, None where it is not known [N/m]."""
        if self.rate is not None:
            return self.rate.value
        if self.wire is None or self.coil is None or self.moving_turns is None:
            return None
        return helical_rate(self.shear_modulus.value, self.wire.value, self.coil, self.moving_turns)

    @property
    def solid(self) -> float | Array | None:
        """Solid length, given or from wire and turns, None where it is not known [m]."""
        if self.solid_length is not None:
            return self.solid_length.value
        if self.wire is None or self.total_turns is None or self.ends is None:
            return None
        return solid_length(self.total_turns.value, self.wire.value, ENDS_OF_WORD[self.ends])

    @model_validator(mode="after")
    def _check_dimensions(self) -> Self:
        problems = [*self._size_problems(), *self._turn_problems()]
        if problems:
            refuse(*problems)
        free, solid = self.free_length, self.solid
        if free is not None and solid is not None and free.value <= solid:
            refuse(
                InputError(
                    "The spring is not longer free than solid",
                    found=show(free.value, Kind.LENGTH),
                    allowed=f"more than {show(float(solid), Kind.LENGTH)}",
                    todo="Exchange the two lengths or measure again.",
                    place="free_length",
                )
            )
        return self

    @property
    def _has_rate(self) -> bool:
        return self.rate is not None

    def _size_problems(self) -> list[InputError]:
        """One diameter, wide enough, and a rate or all that it follows from."""
        given = [name for name in _DIAMETERS if getattr(self, name) is not None]
        if len(given) > 1:
            found = " and ".join(given)
            return [InputError("The coil has two diameters", found=found, todo="Give one of them.", place=given[1])]
        needed = {"wire": self.wire, "mean_diameter": self.coil, "active_turns": self.moving_turns}
        missing = [name for name, value in needed.items() if value is None]
        if not self._has_rate and missing:
            return [
                InputError(
                    "The spring's rate is not known",
                    found=f"neither rate nor {', '.join(missing)}",
                    todo="Give rate, or wire, mean_diameter and active_turns, from which it follows.",
                )
            ]
        if self.wire and self.coil is not None and self.coil <= 2 * self.wire.value:
            return [
                InputError(
                    "The coil is too narrow for its wire",
                    found=show(self.coil, Kind.LENGTH),
                    allowed=f"more than {show(2 * self.wire.value, Kind.LENGTH)}",
                    place=given[0],
                )
            ]
        return []

    def _turn_problems(self) -> list[InputError]:
        """Turns that fit together."""
        moving = self.moving_turns
        if self.active_turns is not None and self.dead_turns is not None:
            todo = "Give active_turns, or total_turns and dead_turns."
            return [InputError("Active and dead turns are both given", todo=todo, place="dead_turns")]
        if self.total_turns is not None and moving is not None and not 0.5 <= moving <= self.total_turns.value:
            return [
                InputError(
                    "The turns do not fit together",
                    found=f"{self.total_turns.value:g} in all, {moving:g} that work",
                    allowed="half a turn or more that works, not more than there are",
                    place="total_turns",
                )
            ]
        return []


class StackedSpring(CoilDimensions):
    """A helper or tender spring, in line with the main spring: it must tell when it is solid."""

    rate: ranges.HelperRate | None = Field(default=None, description="rate of the spring")
    free_length: ranges.HelperLength | None = Field(default=None, description="length without load; needed")
    solid_length: ranges.HelperLength | None = Field(
        default=None,
        description="length with all coils touching; needed, unless wire, total_turns and ends are given",
    )

    @model_validator(mode="after")
    def _check_lengths(self) -> Self:
        if self.free_length is None or self.solid is None:
            name = "free_length" if self.free_length is None else "solid_length"
            refuse(
                InputError(
                    f'A spring in a stack needs its "{name}"',
                    todo="Measure it: from it follows when this spring is solid and the rate rises.",
                    place=name,
                )
            )
        return self


class Spring(CoilDimensions):
    """One coil spring: its rate, or the wire from which the rate follows, or a curve; helper and tender may go with it."""

    curve: ranges.SpringCurve | None = Field(
        default=None, description="rows of compression from free, force, in place of a rate: a progressive spring"
    )
    second_rate: ranges.SpringRate | None = Field(
        default=None, description="rate once the closer turns lie on one another; needs second_rate_from"
    )
    second_rate_from: ranges.Compression | None = Field(
        default=None, description="compression from free at which the second rate begins"
    )
    rising_from: ranges.SpringForce | None = Field(
        default=None, description="force from which on the rate rises in proportion to the force"
    )
    seat_normal: ranges.Axis3 | None = Field(
        default=None, description="left-hand lower seat's own normal as found; mirrored; along the spring if not given"
    )
    helper: StackedSpring | None = Field(default=None, description="a spring that only keeps the main spring seated")
    tender: StackedSpring | None = Field(default=None, description="a spring that works with the main one when unladen")

    @property
    def _has_rate(self) -> bool:
        return self.rate is not None or self.curve is not None

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = self._law_problems()
        if problems:
            refuse(*problems)
        return self

    def _law_problems(self) -> list[InputError]:
        """One law, complete and rising."""
        laws = {"curve": self.curve, "second_rate": self.second_rate, "rising_from": self.rising_from}
        given = [name for name, value in laws.items() if value is not None]
        if self.curve is not None and self.rate is not None:
            given.append("rate")
        if len(given) > 1:
            todo = "Keep the one that was measured."
            return [InputError("The spring has two laws", found=" and ".join(given), todo=todo, place=given[1])]
        if (self.second_rate is None) != (self.second_rate_from is None):
            name = "second_rate_from" if self.second_rate_from is None else "second_rate"
            return [InputError(f'"{name}" is missing', todo="A spring of two rates needs both.", place=name)]
        try:
            if self.curve is not None:
                rows = np.array(self.curve, dtype=np.float64)
                SpringCurve(rows[:, 0], rows[:, 1])
            first = self.first_rate
            if first is not None and self.second_rate is not None and self.second_rate_from is not None:
                two_rates(first, self.second_rate.value, self.second_rate_from.value)
            if first is not None and self.rising_from is not None:
                ConstantFrequency(first, self.rising_from.value / first)
        except InputError as problem:
            problem.place = given[0] if given else "mean_diameter"
            return [problem]
        return []


class LeafSpring(Section):
    """One leaf spring, both halves together."""

    rate: ranges.SpringRate = Field(description="rate of the whole leaf at its seat")
    free_camber: ranges.FreeCamber | None = Field(
        default=None,
        description="height of its eyes' centres above its seat without load, square to the line through the eyes",
    )
    leaf_count: ranges.LeafCount | None = Field(default=None, description="number of leaves, all alike thick")
    width: ranges.LeafWidth | None = Field(default=None, description="width of the leaves")
    thickness: ranges.LeafThickness | None = Field(default=None, description="thickness of one leaf")

    @property
    def missing(self) -> list[str]:
        """Which of the sizes that its stress asks for are not told."""
        return [name for name in ("leaf_count", "width", "thickness") if getattr(self, name) is None]

    @property
    def section_of_leaves(self) -> tuple[int, float, float]:
        """Number, width and thickness of the leaves [-, m, m].

        Raises:
            InputError: one of them is not told
        """
        if self.leaf_count is None or self.width is None or self.thickness is None:
            raise InputError(
                "The leaves are not known", todo="Give leaf_count, width and thickness.", place=self.missing[0]
            )
        return self.leaf_count, self.width.value, self.thickness.value


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
