"""Rubber that ends a wheel's travel: in bump on the damper's rod, in droop inside it."""

from __future__ import annotations

from typing import Literal, Self

import numpy as np
from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError
from jounce.conventions.units import MM
from jounce.elements.law import ElementLaw
from jounce.elements.stops.bump_stop import BumpStop, polynomial_stop
from jounce.elements.stops.stop_shapes import SOLID_RATE, TwoStageRubber, hardening_stop, with_solid
from jounce.numerics.arrays import Array

__all__ = ["BumpStopSection", "DroopStop", "Rubber"]

_KEYS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "hardening": (("first_rate", "solid"), ("hardening",)),
    "two-stage": (("soft_rate", "hard_rate", "hard_from", "solid"), ("blend",)),
    "polynomial": (("coefficients", "reach"), ()),
}
"""Keys of each shape: those that it needs, those that it may have."""

_USUAL_HARDENING = 1.0
_USUAL_BLEND = 0.5  # of the compression at which the hard stage begins [-]


class Rubber(Section):
    """The force of a rubber over its compression: measured rows, or a shape with its numbers."""

    curve: ranges.StopCurve | None = Field(
        default=None, description="rows of compression, force; linear beyond the last row"
    )
    shape: Literal["hardening", "two-stage", "polynomial"] | None = Field(
        default=None, description="in place of a curve: a shape, with the keys that follow"
    )
    first_rate: ranges.StopRate | None = Field(default=None, description="hardening: rate at touch")
    hardening: ranges.StopHardening | None = Field(
        default=None, description="hardening: exponent n of F = k x (1 - x/solid)^-n; 1 if not given"
    )
    soft_rate: ranges.StopRate | None = Field(default=None, description="two-stage: rate of the soft stage")
    hard_rate: ranges.StopRate | None = Field(default=None, description="two-stage: rate of the hard stage")
    hard_from: ranges.StopLength | None = Field(
        default=None, description="two-stage: compression at which the hard stage begins"
    )
    blend: ranges.StopLength | None = Field(
        default=None, description="two-stage: length over which the rate changes; half of hard_from if not given"
    )
    coefficients: tuple[float, ...] | None = Field(
        default=None, description="polynomial: c1, c2, … of F = c1 x + c2 x² + …, force in N and x in mm"
    )
    reach: ranges.StopLength | None = Field(default=None, description="polynomial: compression up to which it holds")
    solid: ranges.StopHeight | None = Field(default=None, description="compression at which the rubber is solid")
    solid_rate: ranges.SolidRate | None = Field(
        default=None,
        description="rate once it is solid; 1000 N/mm for hardening and two-stage, no contact for the others if not given",
    )

    @property
    def law(self) -> ElementLaw:
        """The force over the compression from touch."""
        solid_rate = None if self.solid_rate is None else self.solid_rate.value
        if self.shape == "hardening" and self.first_rate is not None and self.solid is not None:
            exponent = _USUAL_HARDENING if self.hardening is None else self.hardening.value
            return hardening_stop(self.first_rate.value, exponent, self.solid.value, solid_rate or SOLID_RATE)
        soft = self._soft_law()
        if self.shape == "two-stage" and solid_rate is None:
            solid_rate = SOLID_RATE
        if self.solid is None or solid_rate is None:
            return soft
        return with_solid(soft, self.solid.value, solid_rate)

    @property
    def solid_at(self) -> float | Array:
        """Compression at which it counts as solid: as told, else where what is known of it ends [m]."""
        if self.solid is not None:
            return self.solid.value
        if self.reach is not None:
            return self.reach.value
        return 0.0 if self.curve is None else float(self.curve[-1][0])

    def _soft_law(self) -> ElementLaw:
        """The rubber itself, without contact once it is solid."""
        if self.soft_rate is not None and self.hard_rate is not None and self.hard_from is not None:
            blend = _USUAL_BLEND * self.hard_from.value if self.blend is None else self.blend.value
            return TwoStageRubber(self.soft_rate.value, self.hard_rate.value, self.hard_from.value, blend)
        if self.coefficients is not None and self.reach is not None:
            powers = [c / MM**power for power, c in enumerate(self.coefficients, start=1)]
            return polynomial_stop(powers, float(np.ravel(np.real(self.reach.value))[0]))
        rows = np.array(self.curve, dtype=np.float64)
        return BumpStop(rows[:, 0], rows[:, 1])

    @model_validator(mode="after")
    def _check_shape(self) -> Self:
        problems = self._shape_problems()
        if not problems:
            try:
                _ = self.law
            except InputError as problem:
                problem.place = problem.place or ("curve" if self.shape is None else "shape")
                problems = [problem]
        if problems:
            refuse(*problems)
        return self

    def _shape_problems(self) -> list[InputError]:
        """Rows or a shape, and of the shape exactly its own keys."""
        if (self.curve is None) == (self.shape is None):
            found = 'neither "curve" nor "shape"' if self.curve is None else 'both "curve" and "shape"'
            todo = "Give the rows that were measured, or a shape with its numbers."
            return [InputError("It is not clear how the rubber pushes", found=found, todo=todo)]
        needed, more = _KEYS[self.shape] if self.shape else ((), ())
        of_shapes = {key for keys in _KEYS.values() for key in (*keys[0], *keys[1])} - {"solid"}
        problems = [
            InputError(f'The shape "{self.shape}" needs "{key}"', todo="Add it.", place=key)
            for key in needed
            if getattr(self, key) is None
        ]
        problems += [
            InputError(f'"{key}" has no meaning for {self._named}', todo="Leave it out.", place=key)
            for key in sorted(of_shapes - {*needed, *more})
            if getattr(self, key) is not None
        ]
        if self.solid_rate is not None and self.solid is None:
            problems.append(InputError('"solid_rate" needs "solid"', todo="Add it.", place="solid"))
        return problems

    @property
    def _named(self) -> str:
        return "rows of a curve" if self.shape is None else f'the shape "{self.shape}"'


class BumpStopSection(Rubber):
    """The rubber that ends bump travel, on the damper's rod."""

    gap: ranges.StopGap | None = Field(default=None, description="damper travel from as found until the rubber touches")
    free_height: ranges.StopHeight | None = Field(
        default=None, description="height of the rubber; it touches at closed_length + free_height of the damper"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        _check_touch(self.gap, self.free_height)
        return self


class DroopStop(Rubber):
    """The rubber that ends droop travel, inside the damper or on its rod."""

    gap: ranges.StopGap | None = Field(
        default=None, description="damper travel from as found, lengthening, until the rubber touches"
    )
    free_height: ranges.StopHeight | None = Field(
        default=None, description="height of the rubber; it touches at open_length - free_height of the damper"
    )

    @model_validator(mode="after")
    def _check(self) -> Self:
        _check_touch(self.gap, self.free_height)
        return self


def _check_touch(gap: object, free_height: object) -> None:
    if (gap is None) == (free_height is None):
        found = 'neither "gap" nor "free_height"' if gap is None else 'both "gap" and "free_height"'
        refuse(InputError("It is not clear where the stop touches", found=found, todo="Give exactly one of the two."))
