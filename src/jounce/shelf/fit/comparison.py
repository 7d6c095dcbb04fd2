"""One dimension of a part against the same dimension of what it has to fit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jounce.car.file.quantity import Measured
from jounce.shelf.fit.reason import FitVerdict, Reason, Value

__all__ = ["DimensionComparison"]

ROUNDING = 1e-9
"""Lengths are compared up to this [m]."""


@dataclass(frozen=True, slots=True)
class DimensionComparison:
    """A comparison to be made.

    Attributes:
        dimension: its name
        part: what the part has
        part_key: where that stands, for what to measure
        other: what the other side has
        other_key: where that stands, for what to measure
        least: least that the part may have more than the other side [m]
        most: most that the part may have more than the other side [m]

    """

    dimension: str
    part: Value
    part_key: str
    other: Value
    other_key: str
    least: float = 0.0
    most: float = 0.0

    def reason(self) -> Reason | None:
        """Why it does not fit, or why that is not known; None if it fits."""
        missing = [key for key, value in ((self.part_key, self.part), (self.other_key, self.other)) if value is None]
        if missing:
            return self._reason(FitVerdict.UNKNOWN, f"Measure {' and '.join(missing)}.")
        if not isinstance(self.part, Measured) or not isinstance(self.other, Measured):
            return None if self.part == self.other else self._reason(FitVerdict.DOES_NOT_FIT)
        difference = self.part.value - self.other.value
        band = self.part.plus_minus + self.other.plus_minus
        if self.least - ROUNDING <= difference - band and difference + band <= self.most + ROUNDING:
            return None
        if difference + band < self.least - ROUNDING or difference - band > self.most + ROUNDING:
            return self._reason(FitVerdict.DOES_NOT_FIT)
        if not band:
            return None
        return self._reason(FitVerdict.UNKNOWN, f"Too close to tell: measure {self._less_known()} more closely.")

    def _less_known(self) -> str:
        bands = [value.plus_minus if isinstance(value, Measured) else 0.0 for value in (self.part, self.other)]
        return self.part_key if bands[0] >= bands[1] else self.other_key

    def _reason(self, verdict: FitVerdict, todo: str = "") -> Reason:
        low = high = None
        if isinstance(self.other, Measured):
            low = None if math.isinf(self.least) else self.other.value + self.least
            high = None if math.isinf(self.most) else self.other.value + self.most
        return Reason(self.dimension, verdict, self.part, self.other, low, high, todo)
