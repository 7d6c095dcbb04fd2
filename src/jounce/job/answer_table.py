"""One number of an answer, and an answer as a table that screens and files print alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import floor, log10
from typing import Any

from jounce.conventions.quantity import Quantity
from jounce.conventions.units import Kind, unit_of


@dataclass(frozen=True, slots=True)
class Answer:
    """One row.

    ``values`` holds one number for each of the table's columns, SI; a text says something in words, None says that it
    is not known. ``formula`` is what was computed, ``source`` where that comes from. ``bands`` are half widths that hold
    nine of ten, one for each column, None where there is none; empty where there are none at all. Where ``digits`` is set
    that many significant ones are shown instead of the decimals of the unit; where ``counted``, teeth or turns, no more
    decimals than there are. ``key`` is what programs call a row that
    people are told in words, a place in a file as a rule. ``form`` says which field of which form a row asks somebody to
    fill: what the form of a reading starts with, or the ``number`` of the car's file.
    """

    name: str
    kind: Kind
    values: tuple[float | str | None, ...]
    formula: str = ""
    source: str = ""
    bands: tuple[float | None, ...] = field(default=(), kw_only=True)
    digits: int = field(default=0, kw_only=True)
    counted: bool = field(default=False, kw_only=True)
    key: str = field(default="", kw_only=True)
    form: Mapping[str, str] = field(default_factory=dict, kw_only=True)

    def number(self, value: float, units: str) -> str:
        """A value as a table shows it, without its unit.

        Args:
            value: the value [SI]
            units: unit set

        >>> Answer("toe per travel", Kind.RATIO_ANGLE, (), digits=3).number(-1e-6, "metric")
        '-0.0000000573'
        >>> Answer("teeth at the arm", Kind.RATIO, (), counted=True).number(-3.0, "metric")
        '-3'
        """
        unit = unit_of(self.kind, units)
        shown = value / unit.factor
        if self.counted:
            return f"{round(shown, 2) + 0.0:g}"
        decimals = max(0, self.digits - 1 - floor(log10(abs(shown)))) if self.digits and shown else unit.decimals
        return f"{round(shown, decimals) + 0.0:.{decimals}f}"

    def band(self, column: int) -> float:
        """Half width of one column's band [SI]; zero where there is none.

        Args:
            column: number of the column
        """
        return (self.bands[column] or 0.0) if self.bands else 0.0


def answer(quantity: Quantity, values: tuple[float | str | None, ...], bands: tuple[float | None, ...] = ()) -> Answer:
    """A row that is called, measured, defined and sourced as the table of results says.

    Args:
        quantity: row of that table
        values: one for each column, SI
        bands: half widths that hold nine of ten, one for each column, SI

    >>> from jounce.conventions.quantities import RESULTS
    >>> answer(RESULTS["ride_rate"], (21_000.0,)).formula
    'wheel rate with the tyre in series'
    """
    return Answer(quantity.label, quantity.kind, values, quantity.said, quantity.source, bands=bands)


@dataclass(frozen=True, slots=True)
class AnswerTable:
    """What was asked, the columns compared, the rows, and what has to be said besides.

    Where ``along`` is set the columns are points along something, many: they are printed one below the other. ``plain``
    are lines that are taken as they stand, for a file.
    """

    question: str
    columns: tuple[str, ...]
    rows: tuple[Answer, ...]
    remarks: tuple[str, ...] = field(default=())
    along: bool = field(default=False, kw_only=True)
    plain: tuple[str, ...] = field(default=(), kw_only=True)

    def as_json(self) -> dict[str, Any]:
        """Plain data in SI, each row by its key or else as on the screen; lines for a file only where there are some."""
        lines: dict[str, Any] = {"lines": list(self.plain)} if self.plain else {}
        told: dict[str, Any] = {
            "question": self.question,
            "unit_system": "SI",
            "columns": list(self.columns),
            "rows": [
                {
                    "name": r.key or r.name,
                    "kind": r.kind.value,
                    "values": list(r.values),
                    "formula": r.formula,
                    "source": r.source,
                    "plus_minus": list(r.bands) or [None] * len(r.values),
                    **({"form": dict(r.form)} if r.form else {}),
                }
                for r in self.rows
            ],
            "remarks": list(self.remarks),
        }
        return told | lines
