"""One number of an answer, and an answer as a table that screens and files print alike."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from jounce.conventions.units import Kind


@dataclass(frozen=True, slots=True)
class Answer:
    """One row.

    ``values`` holds one number for each of the table's columns, SI; a text says something in words, None says that it
    is not known. ``formula`` is what was computed, ``source`` where that comes from.
    """

    name: str
    kind: Kind
    values: tuple[float | str | None, ...]
    formula: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class AnswerTable:
    """What was asked, the columns compared, the rows, and what has to be said besides."""

    question: str
    columns: tuple[str, ...]
    rows: tuple[Answer, ...]
    remarks: tuple[str, ...] = field(default=())

    def as_json(self) -> dict[str, Any]:
        """Plain data in SI, the same names as on the screen."""
        return {
            "question": self.question,
            "unit_system": "SI",
            "columns": list(self.columns),
            "rows": [
                {
                    "name": r.name,
                    "kind": r.kind.value,
                    "values": list(r.values),
                    "formula": r.formula,
                    "source": r.source,
                }
                for r in self.rows
            ],
            "remarks": list(self.remarks),
        }
