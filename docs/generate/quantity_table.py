"""The table of quantities, printed from the program's own data."""

from __future__ import annotations

from itertools import groupby

from jounce.conventions.quantities import RESULTS, Quantity


def quantity_table() -> str:
    """Every quantity with its unit, its definition and its positive sense, as one Markdown table a group."""
    parts = []
    for group, members in groupby(RESULTS.values(), lambda row: row.group):
        head = ["| Column | Of | Unit | Meaning | Positive when | Source |", "| --- | --- | --- | --- | --- | --- |"]
        rows = [
            f"| {_named(row)} | {row.per} | {row.unit} | {row.definition} | {row.positive_when} | {row.source} |"
            for row in members
        ]
        parts.append("\n".join([f"## {group[0].upper()}{group[1:]}", "", *head, *rows]))
    return "\n\n".join(parts)


def _named(row: Quantity) -> str:
    """Its name and what tables call it, where that is more than its name."""
    return f"`{row.name}`<br>{row.title.strip()}" if row.title else f"`{row.name}`"
