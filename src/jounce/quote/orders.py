"""What a package asks of the shop before it can begin: what to take from stock, to order, to measure, to prepare."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jounce.quote.quote import same_parts
from jounce.shelf.describe import unknown_rows
from jounce.shelf.part import Part

__all__ = ["OrderLine", "ToPrepare", "grouped", "latest_days", "order_lines", "to_prepare"]

UNNAMED = "a supplier not noted"


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One part: lots needed, taken from stock, to be ordered; None where the stock, or the lead time, is not known."""

    part: Part
    needed: int
    from_stock: int | None
    to_order: int | None
    lead_time_days: int | None

    @property
    def supplier(self) -> str:
        """From whom it is ordered; who makes it where that is not on the shelf."""
        return self.part.supplier or self.part.maker or UNNAMED


@dataclass(frozen=True, slots=True)
class ToPrepare:
    """Something to be done to a part, or found out of it, before it is fitted."""

    part: Part
    what: str


def order_lines(parts: Sequence[tuple[Part, int]]) -> list[OrderLine]:
    """What to take and what to order, each part once.

    Args:
        parts: parts with how many lots of each
    """
    return [_line(part, needed) for part, needed in same_parts(parts)]


def grouped(lines: Sequence[OrderLine]) -> dict[str, list[OrderLine]]:
    """The lines by supplier, suppliers in alphabetical order.

    Args:
        lines: in any order
    """
    return {name: [line for line in lines if line.supplier == name] for name in sorted({x.supplier for x in lines})}


def latest_days(lines: Sequence[OrderLine]) -> int | None:
    """Days until the last ordered part is there; None where a lead time or a stock is not known.

    Args:
        lines: all lines of a package
    """
    waiting = [line for line in lines if line.to_order is None or line.to_order > 0]
    days = [line.lead_time_days for line in waiting if line.to_order is not None]
    known = [one for one in days if one is not None]
    return max(known, default=0) if len(known) == len(waiting) else None


def to_prepare(parts: Sequence[tuple[Part, int]]) -> list[ToPrepare]:
    """What the shelf's notes say of the parts, and what of them still has to be measured.

    Args:
        parts: parts with counts
    """
    found: list[ToPrepare] = []
    for part, _ in same_parts(parts):
        if part.supplier_note:
            found.append(ToPrepare(part, part.supplier_note))
        found += [ToPrepare(part, f"measure: {meaning or key}") for key, meaning in unknown_rows(part)]
    return found


def _line(part: Part, needed: int) -> OrderLine:
    if part.stock is None:
        return OrderLine(part, needed, None, None, part.lead_time_days)
    taken = min(part.stock, needed)
    return OrderLine(part, needed, taken, needed - taken, part.lead_time_days)
