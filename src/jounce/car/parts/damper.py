"""A damper: its lengths, its gas, its force over speed, and the rubber that ends its droop."""

from __future__ import annotations

from typing import Self

import numpy as np
from pydantic import Field, model_validator

from jounce.car.file import ranges
from jounce.car.file.fields import refuse
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section
from jounce.car.parts.shared import NOTHING
from jounce.car.parts.stop import DroopStop
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, show
from jounce.elements.dampers.damper_clicks import Clicks
from jounce.elements.dampers.damper_knee import Knee, knee_curve
from jounce.elements.dampers.force_velocity import ForceVelocity

__all__ = ["Damper", "DamperClicks", "DamperKnee"]

SLOW_GAS = Measured(1.0, 0.0, "default: pressed slowly, at one temperature")
KNOWN_TO = Measured(1.05, 0.0, "default: the fastest of the usual test speeds")


class DamperKnee(Section):
    """Force over speed by slope, knee and slope of each direction, where there is no test sheet."""

    bump_slow: ranges.DampingSlope = Field(description="bump: slope up to the knee")
    bump_knee: ranges.KneeSpeed = Field(description="bump: rod speed of the knee")
    bump_fast: ranges.FastSlope = Field(description="bump: slope beyond the knee")
    rebound_slow: ranges.DampingSlope = Field(description="rebound: slope up to the knee")
    rebound_knee: ranges.KneeSpeed = Field(description="rebound: rod speed of the knee")
    rebound_fast: ranges.FastSlope = Field(description="rebound: slope beyond the knee")
    known_to: ranges.KnownSpeed = Field(default=KNOWN_TO, description="rod speed up to which the slopes hold")

    @property
    def force(self) -> ForceVelocity:
        """The curve."""
        bump = Knee(float(self.bump_slow), float(self.bump_knee), float(self.bump_fast))
        rebound = Knee(float(self.rebound_slow), float(self.rebound_knee), float(self.rebound_fast))
        return knee_curve(bump, rebound, float(self.known_to))


class DamperClicks(Section):
    """An adjuster: a curve for each of some settings; between two settings the force changes in proportion."""

    curve: ranges.ClickCurve = Field(
        description="rows of setting, rod speed, bump force, rebound force; the rows of one setting together"
    )
    setting: float = Field(description="where the adjuster stands, counted as in the rows; of two adjusters, bump's")
    rebound_setting: float | None = Field(
        default=None, description="where the adjuster of rebound stands, if it has one of its own"
    )
    counted_from: str = Field(default="", description="from which end the clicks are counted, as text")

    @property
    def family(self) -> Clicks:
        """All curves by setting."""
        settings = sorted({row[0] for row in self.curve})
        curves = []
        for setting in settings:
            rows = np.array([row[1:] for row in self.curve if row[0] == setting], dtype=np.float64)
            with at(f"setting {setting:g}"):
                curves.append(ForceVelocity(rows[:, 0], rows[:, 1], rows[:, 2]))
        return Clicks(tuple(settings), tuple(curves))

    @property
    def force(self) -> ForceVelocity:
        """The curve at the setting."""
        return self.family.at(self.setting, self.rebound_setting)


class Damper(Section):
    """One damper."""

    closed_length: ranges.DamperLength | None = Field(default=None, description="length when fully closed")
    open_length: ranges.DamperLength | None = Field(default=None, description="length when fully open")
    end_rate: ranges.SolidRate | None = Field(
        default=None,
        description="rate of the damper's own ends, closed and topped out; limits without give if not given",
    )
    gas_force: ranges.GasForce = Field(default=NOTHING, description="force with which the gas pushes the rod out")
    gas_volume: ranges.GasVolume | None = Field(
        default=None, description="volume of the gas at the length as found: the gas force then rises over the stroke"
    )
    rod_diameter: ranges.RodBore | None = Field(default=None, description="diameter of the rod, with gas_volume")
    gas_exponent: ranges.GasExponent = Field(
        default=SLOW_GAS, description="polytropic exponent of the gas: 1 for slow strokes, 1.4 for fast ones"
    )
    curve: ranges.DamperCurve | None = Field(default=None, description="rows of rod speed, bump force, rebound force")
    knee: DamperKnee | None = Field(default=None, description="in place of a curve: slopes and knees")
    clicks: DamperClicks | None = Field(default=None, description="in place of a curve: an adjuster with its curves")
    droop_stop: DroopStop | None = Field(default=None, description="the rubber that ends the damper's droop")

    @property
    def force(self) -> ForceVelocity | None:
        """Force over rod speed, however it was told; None where it is not known."""
        if self.curve is not None:
            rows = np.array(self.curve, dtype=np.float64)
            return ForceVelocity(rows[:, 0], rows[:, 1], rows[:, 2])
        told = self.knee or self.clicks
        return None if told is None else told.force

    @model_validator(mode="after")
    def _check(self) -> Self:
        problems = [*self._length_problems(), *self._gas_problems(), *self._force_problems()]
        if problems:
            refuse(*problems)
        return self

    def _length_problems(self) -> list[InputError]:
        """Open longer than closed, and the length that a rubber counts from."""
        if self.closed_length and self.open_length and self.open_length.value <= self.closed_length.value:
            return [
                InputError(
                    "The damper is not longer open than closed",
                    found=show(self.open_length.value, Kind.LENGTH),
                    allowed=f"more than {show(self.closed_length.value, Kind.LENGTH)}",
                    todo="Exchange the two lengths or measure again.",
                    place="open_length",
                )
            ]
        if self.droop_stop is not None and self.droop_stop.free_height is not None and self.open_length is None:
            return [
                InputError(
                    "The droop stop is given by its height, so the damper's open length is needed",
                    todo='Add "open_length", or give "gap" instead of "free_height".',
                    place="droop_stop.free_height",
                )
            ]
        return []

    def _gas_problems(self) -> list[InputError]:
        """Volume and rod go together."""
        if (self.gas_volume is None) or (self.rod_diameter is not None):
            return []
        todo = "Measure the rod: from its area follows how much gas it displaces."
        return [InputError('"gas_volume" needs "rod_diameter"', todo=todo, place="rod_diameter")]

    def _force_problems(self) -> list[InputError]:
        """One force over speed, and one that a damper can have."""
        given = [name for name in ("curve", "knee", "clicks") if getattr(self, name) is not None]
        if len(given) > 1:
            todo = "Keep the one that was measured."
            return [
                InputError("The damper's force is told twice", found=" and ".join(given), todo=todo, place=given[1])
            ]
        try:
            _ = self.force
        except InputError as problem:
            problem.place = ", ".join(filter(None, (given[0], problem.place)))
            return [problem]
        return []
