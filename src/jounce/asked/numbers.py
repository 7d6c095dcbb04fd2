"""One number of an answer in words."""

from __future__ import annotations

from collections.abc import Callable
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

    def said(self, units: str, said: Callable[[str], str] = str) -> str:
        """The number with its band in words.

        Args:
            units: unit set
            said: puts label and values into another language
        """
        band = said(show(self.band, self.kind, units))
        told = said(show(self.value, self.kind, units)) + (f" ± {band}" if self.band and _some(band) else "")
        was = None if self.found is None else said(show(self.found, self.kind, units))
        changed = was is not None and was != said(show(self.value, self.kind, units))
        return f"{said(self.label)}: {told}" + (f" ({said('as found')} {was})" if changed else "")


def _some(text: str) -> bool:
    return any(digit in text for digit in "123456789")
