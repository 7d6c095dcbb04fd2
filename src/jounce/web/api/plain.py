"""Values of the core as plain data: SI, the unit beside a number that has no place of its own, null for nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from typing import Any

import numpy as np

from jounce.conventions.units import Kind
from jounce.job.answer_table import AnswerTable
from jounce.web.api.schemas import Schema, listed, named, number, objects, or_null, si_unit, text

__all__ = ["TABLE", "plain", "table", "tables"]

TABLE: Schema = objects(
    "An answer as a table: one value for each of the columns in every row.",
    {
        "question": text("what was asked"),
        "columns": listed(text("what stands in it")),
        "rows": listed(
            objects(
                "One quantity.",
                {
                    "name": text("what it is"),
                    "kind": text("what it measures"),
                    "unit": text("SI unit of its numbers"),
                    "values": listed({"type": ["number", "string", "null"]}, "numbers, words, or null for unknown"),
                    "formula": text("what was computed"),
                    "source": text("where that comes from"),
                    "plus_minus": listed(
                        or_null(number("half width of a band, 9 in 10; null where there is none", "as `unit` says")),
                        "one for each value",
                    ),
                    "form": named(
                        "which field a row asks somebody to fill: what the form of a reading starts with, or the number "
                        "of the car's file",
                        text("what stands in that field"),
                    ),
                },
                optional=("form",),
            )
        ),
        "remarks": listed(text("what has to be said besides")),
        "lines": listed(text("a line that a file takes as it stands")),
    },
    optional=("lines",),
)


def plain(value: Any) -> Any:
    """A value as what JSON can say; a number that is none becomes null.

    Args:
        value: data classes, mappings, sequences, arrays, numbers, texts
    """
    if value is None or (isinstance(value, (bool, str)) and not isinstance(value, Enum)):
        return value
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, (float, np.floating)):
        return float(value) + 0.0 if math.isfinite(value) else None
    if isinstance(value, (int, np.integer)):
        return int(value)
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, np.ndarray):
        return plain(value.tolist())
    if is_dataclass(value):
        return {part.name: plain(getattr(value, part.name)) for part in fields(value)}
    if isinstance(value, Mapping):
        return {str(name): plain(one) for name, one in value.items()}
    if isinstance(value, Sequence):
        return [plain(one) for one in value]
    raise TypeError(f"{type(value).__name__} is not told to programs")


def table(answer: AnswerTable) -> dict[str, Any]:
    """An answer as plain data.

    Args:
        answer: the table
    """
    told = answer.as_json()
    rows = [row | {"unit": si_unit(Kind(row["kind"]))} for row in told["rows"]]
    return {
        "question": told["question"],
        "columns": told["columns"],
        "rows": plain(rows),
        "remarks": told["remarks"],
    } | ({"lines": told["lines"]} if "lines" in told else {})


def tables(answers: Sequence[AnswerTable]) -> dict[str, Any]:
    """Several answers.

    Args:
        answers: the tables
    """
    return {"tables": [table(one) for one in answers]}
