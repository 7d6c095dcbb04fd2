"""One number of an answer in words."""

from __future__ import annotations

from dataclasses import dataclass

from jounce.conventions.units import Kind, show

__all__ = ["AnswerNumber"]


@dataclass(frozen=True, slots=True)
class AnswerNumber:
    """One number of an answer, SI; ``found`` is the same as the car was found, None where it is told of one state alone."""

    label: str
    kind: Kind
    value: float
    band: float = 0.0
    found: float | None = None

    def said(self, units: str) -> str:
        """The number with its band in words.

        Args:
            units: unit set
        """
        band = show(self.band, self.kind, units)
        told = show(self.value, self.kind, units) + (f" ± {band}" if self.band and _some(band) else "")
        was = None if self.found is None else show(self.found, self.kind, units)
        return f"{self.label}: {told}" + (
            f" (as found {was})" if was and was != show(self.value, self.kind, units) else ""
        )


def _some(text: str) -> bool:
    return any(digit in text for digit in "123456789")
