"""Tyre and rim."""

from __future__ import annotations

from typing import Self

import numpy as np
from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.parts.shared import NOTHING
from jounce.conventions.errors import InputError
from jounce.elements.springs.progressive import SpringCurve
from jounce.elements.tyres.tyre import PRESSURE_SHARE as USUAL_SHARE
from jounce.elements.tyres.tyre import pressure_factor
from jounce.elements.tyres.tyre_lateral import EXAMPLE_TYRES, MagicFormula1987
from jounce.numerics.arrays import Array

FULL_GRIP = Measured(1.0)
PRESSURE_SHARE = Measured(USUAL_SHARE, 0.0, "default: common practice")


class Wheel(Section):
    """Tyre and rim of one wheel."""

    tyre: str = Field(default="", description="size and make-up of the tyre, as text")
    loaded_radius: ranges.LoadedRadius = Field(description="height of the wheel centre above the ground, as found")
    tyre_rate: ranges.TyreRate = Field(description="vertical rate of the tyre")
    tyre_rate_per_load: ranges.TyreRatePerLoad = Field(
        default=NOTHING,
        description="by how much the vertical rate rises with the load; tyre_rate is that at the load as found",
    )
    tyre_curve: ranges.TyreCurve | None = Field(
        default=None, description="rows of deflection, load of the tyre as measured; they go before tyre_rate"
    )
    pressure: ranges.TyrePressure | None = Field(default=None, description="pressure at which the car runs, cold")
    rate_pressure: ranges.TyrePressure | None = Field(
        default=None, description="pressure at which the vertical rate was measured, if it was another"
    )
    pressure_share: ranges.PressureShare = Field(
        default=PRESSURE_SHARE,
        description="part of the vertical rate that grows with the pressure, the rest is the casing's",
    )
    rim_diameter: ranges.RimDiameter | None = Field(default=None, description="nominal diameter of the rim")
    offset: ranges.WheelOffset | None = Field(
        default=None, description="mounting face to the rim's middle plane; positive when the face lies outboard"
    )
    tyre_width: ranges.TyreWidth | None = Field(default=None, description="width of the tyre")
    lateral: str | None = Field(
        default=None, description="published set of lateral coefficients that stands for this tyre, by its name"
    )
    lateral_coefficients: list[float] | None = Field(
        default=None, description="a1 to a8 of the lateral law of 1987 for this very tyre: load in kN, slip in degrees"
    )
    grip: ranges.Grip = Field(default=FULL_GRIP, description="largest lateral force as a share of what the law says")

    @property
    def pressure_factor(self) -> float | Array:
        """What the vertical rate is multiplied by at the pressure at which the car runs [-]."""
        if self.pressure is None or self.rate_pressure is None:
            return 1.0
        factor = pressure_factor(self.pressure.value, self.rate_pressure.value, self.pressure_share.value)
        return factor if factor.ndim else float(factor)

    @property
    def measured_curve(self) -> SpringCurve | None:
        """The tyre's load over its deflection where it was measured."""
        if self.tyre_curve is None:
            return None
        rows = np.array(self.tyre_curve, dtype=np.float64)
        return SpringCurve(rows[:, 0], rows[:, 1])

    @model_validator(mode="after")
    def _check_vertical(self) -> Self:
        if self.rate_pressure is not None and self.pressure is None:
            todo = "Give the pressure at which the car runs as well."
            refuse(InputError('"rate_pressure" needs "pressure"', todo=todo, place="pressure"))
        if self.tyre_curve is not None and self.tyre_rate_per_load.value:
            todo = "Leave one of them out: the rows tell how the rate rises."
            refuse(InputError("The tyre's rate rises in two ways", todo=todo, place="tyre_rate_per_load"))
        try:
            place = "tyre_curve"
            _ = self.measured_curve
            place = "pressure"
            _ = self.pressure_factor
        except InputError as problem:
            problem.place = place
            refuse(problem)
        return self

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.lateral is not None and self.lateral_coefficients is not None:
            refuse(InputError('Both "lateral" and "lateral_coefficients" are given', todo="Give one of the two."))
        if self.lateral is not None and self.lateral not in EXAMPLE_TYRES:
            refuse(
                InputError(
                    "No such set of lateral coefficients",
                    found=self.lateral,
                    allowed=", ".join(EXAMPLE_TYRES),
                    todo="Choose one of them, or give lateral_coefficients.",
                    place="lateral",
                )
            )
        if self.lateral_coefficients is not None:
            try:
                MagicFormula1987(tuple(self.lateral_coefficients))
            except InputError as problem:
                problem.place = "lateral_coefficients"
                refuse(problem)
        return self
