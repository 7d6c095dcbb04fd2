"""Which parts of a shelf reach what a plan's adjusters do not."""

from __future__ import annotations

from pathlib import Path

from jounce.case.case import Case
from jounce.search.alignment_parts import offers_for
from jounce.shelf.describe import price_of, stock_of
from jounce.shelf.file import read_shelf

__all__ = ["offered"]


def offered(case: Case, shelf: Path) -> list[str]:
    """A line for each wish that an adjuster ends before: the part that would meet it, or how far it would have to go.

    Args:
        case: the job
        shelf: the shelf file

    Raises:
        InputError: the shelf cannot be read
    """
    parts = read_shelf(shelf)
    lines = []
    for one in offers_for(case.plan, case.car, case.change_list, parts):
        part = one.part
        named = "" if part is None else f"{part.code}, {part.name}, {price_of(part)}, {stock_of(part)}: "
        lines.append(f"{one.place}: {named}{one.told}")
    return lines
