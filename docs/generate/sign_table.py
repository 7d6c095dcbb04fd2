"""The table of signs, printed from the program's own data."""

from __future__ import annotations

from jounce.conventions.signs import SIGNS


def sign_table() -> str:
    """Every quantity with its unit, its positive sense and how it is measured, as a Markdown table."""
    lines = ["| Quantity | Unit | Positive when | Measured as | Source |", "| --- | --- | --- | --- | --- |"]
    lines += [
        f"| **{row.label}**<br>`{row.name}` | {row.unit} | {row.positive_when} | {row.definition} | {row.source} |"
        for row in SIGNS
    ]
    return "\n".join(lines)
