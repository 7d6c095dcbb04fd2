"""The table of quantities, printed from the program's own data."""

from __future__ import annotations

from itertools import groupby

from jounce.conventions.quantities import QUANTITIES


def quantity_table() -> str:
    """Every quantity with its unit, its definition and its positive sense, as one Markdown table a group."""
    parts = []
    for group, members in groupby(QUANTITIES.values(), lambda row: row.group):
        head = ["| Column | Of | Unit | Meaning | Positive when | Source |", "| --- | --- | --- | --- | --- | --- |"]
        rows = [
            f"| `{row.name}` | {row.per} | {row.unit} | {row.definition} | {row.positive_when} | {row.source} |"
            for row in members
        ]
        parts.append("\n".join([f"## {group[0].upper()}{group[1:]}", "", *head, *rows]))
    return "\n\n".join(parts)
