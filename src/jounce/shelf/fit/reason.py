"""Why a part does not fit, or why that is not known: one named dimension, what is there and what is needed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from jounce.car.file.quantity import Measured
from jounce.conventions.units import Kind, unit_of

__all__ = ["FitVerdict", "Reason", "Value", "verdict_of"]

Value = Measured | int | str | None
"""A length with its band [m], a count, a word, or nothing known."""


class FitVerdict(StrEnum):
    """What is known of a fit."""

    FITS = "fits"
    UNKNOWN = "unknown"
    DOES_NOT_FIT = "does not fit"


@dataclass(frozen=True, slots=True)
class Reason:
    """One dimension that does not fit, or of which it is not known whether it does.

    Attributes:
        dimension: its name
        verdict: does not fit, or unknown
        has: what the part has there
        needs: what the other side has there
        low: least that the part may have, from what the other side has [m]; None where there is no lower limit
        high: most that the part may have [m]; None where there is no upper limit
        todo: what would settle it, as a sentence
        words: the whole reason as a sentence, where it is not one of two dimensions

    """

    dimension: str
    verdict: FitVerdict
    has: Value = None
    needs: Value = None
    low: float | None = None
    high: float | None = None
    todo: str = ""
    words: str = ""

    def sentence(self, units: str = "metric") -> str:
        """The reason in words.

        Args:
            units: unit set in which lengths are shown
        """
        if self.words:
            return self.words
        told = f"{self.dimension}: has {_shown(self.has, units)}, needs {self._needed(units)}"
        return f"{told}. {self.todo}" if self.todo else f"{told}."

    def _needed(self, units: str) -> str:
        if not isinstance(self.needs, Measured):
            return _shown(self.needs, units)
        low, high = (None if limit is None else _length(limit, units) for limit in (self.low, self.high))
        if low is None or high is None:
            return f"{low} or more" if high is None else f"up to {high}"
        return low if low == high else f"{low} to {high}"


def verdict_of(reasons: Iterable[Reason]) -> FitVerdict:
    """What all reasons together say: one that does not fit settles it.

    Args:
        reasons: what was found against a fit
    """
    found = {reason.verdict for reason in reasons}
    return next(
        (verdict for verdict in (FitVerdict.DOES_NOT_FIT, FitVerdict.UNKNOWN) if verdict in found), FitVerdict.FITS
    )


def _shown(value: Value, units: str) -> str:
    if value is None:
        return "unknown"
    if not isinstance(value, Measured):
        return str(value)
    band = f" ± {_length(value.plus_minus, units)}" if value.plus_minus else ""
    return f"{_length(value.value, units)}{band}"


def _length(si: float, units: str) -> str:
    """A length with one decimal more than usual: what fits is a matter of tenths; no needless zeros."""
    unit = unit_of(Kind.LENGTH, units)
    return f"{round(si / unit.factor, unit.decimals + 1) + 0.0:.10g} {unit.symbol}"
