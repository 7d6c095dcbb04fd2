"""One result: its name, unit, sense, definition and where the definition comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from jounce.conventions.unit_table import DEFAULT_UNIT, Kind

__all__ = ["ISO_8855", "OURS", "REIMPELL", "SAE_J670", "TRADE", "Per", "Quantity"]

Per = Literal["drive", "wheel", "axle", "car"]

ISO_8855 = "ISO 8855"
SAE_J670 = "SAE J670"
REIMPELL = "Reimpell, The Automotive Chassis"
TRADE = "common practice, no source"
OURS = "our own definition"


@dataclass(frozen=True, slots=True)
class Quantity:
    """One row of the table of quantities.

    Attributes:
        name: name in the program; a wheel's column is called ``left_`` or ``right_`` and this name
        kind: what it measures
        per: whether it belongs to a wheel, to the axle, to the car, or is what drives a motion
        group: what it is listed with
        positive_when: what a positive value says
        definition: how it is measured, as a sentence
        source: where the definition comes from
        title: name for people where that is not ``name`` without underscores; spaces in front stand below what is said
            above it

    """

    name: str
    kind: Kind
    per: Per
    group: str
    positive_when: str
    definition: str
    source: str
    title: str = ""

    @property
    def label(self) -> str:
        """Name for people."""
        return self.title or self.name.replace("_", " ")

    @property
    def said(self) -> str:
        """The definition as it stands behind the name and a colon."""
        return f"{self.definition[0].lower()}{self.definition[1:].removesuffix('.')}"

    @property
    def unit(self) -> str:
        """Symbol of the unit in which it is shown unless another set of units is chosen."""
        return DEFAULT_UNIT[self.kind]
