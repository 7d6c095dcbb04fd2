"""A quote: parts from the shelf and hours of work become lines, sums and tax, in exact decimal money."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from jounce.conventions.errors import InputError
from jounce.quote.shop import Terms
from jounce.shelf.part import Part

__all__ = ["QuoteLine", "QuotedPackage", "QuotedWork", "priced", "rounded", "same_parts"]

_CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class QuotedWork:
    """Work besides fitting the parts: what is done, and the hours it takes."""

    name: str
    hours: Decimal


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One line of a package; money before tax, None where no price is known.

    ``quantity`` counts lots of parts that are sold together, or hours.
    """

    code: str
    name: str
    quantity: Decimal
    unit: str
    price: Decimal | None
    total: Decimal | None


@dataclass(frozen=True, slots=True)
class QuotedPackage:
    """Parts and work with their sums; where a price is not known the sums are without it, and ``unpriced`` tells.

    ``net`` is before tax, ``tax`` is on all of it, rounded once, ``gross`` is what the customer pays.
    ``hours_unknown`` are codes of parts whose fitting time is not on the shelf; ``not_on_shelf`` tells in words of parts
    that have no code, by their names they stand among the other two.
    """

    name: str
    parts: tuple[tuple[Part, int], ...]
    work: tuple[QuotedWork, ...]
    part_lines: tuple[QuoteLine, ...]
    work_lines: tuple[QuoteLine, ...]
    net: Decimal
    tax: Decimal
    gross: Decimal
    unpriced: tuple[str, ...]
    hours_unknown: tuple[str, ...]
    not_on_shelf: tuple[str, ...] = ()

    @property
    def at_least(self) -> bool:
        """Whether it may cost more: a price or a fitting time is not known."""
        return bool(self.unpriced or self.hours_unknown)

    @property
    def hours(self) -> Decimal:
        """All hours of work."""
        return sum((line.quantity for line in self.work_lines), Decimal(0))


def rounded(amount: Decimal) -> Decimal:
    """An amount to the hundredth, half a hundredth up."""
    return amount.quantize(_CENT, ROUND_HALF_UP)


def priced(
    name: str,
    parts: Sequence[tuple[Part, int]],
    work: Sequence[QuotedWork],
    terms: Terms,
    others: Sequence[tuple[str, int]] = (),
) -> QuotedPackage:
    """Price a package.

    Args:
        name: what the package is called
        parts: parts with how many lots of each, a lot being what is sold together
        work: work besides fitting them
        terms: hourly rate, tax, currency
        others: what else is in it that is not on the shelf, in words, with how many pieces; its price is not known

    Raises:
        InputError: nothing in it, a count below one, or a price in another currency
    """
    if not parts and not work:
        raise InputError("There is nothing in the package", found=name, todo="Name parts or work.")
    part_lines = tuple(_part_line(part, count, terms) for part, count in parts)
    fitting = [
        QuotedWork(f"fit {part.name}", Decimal(str(part.labour_hours)) * count)
        for part, count in parts
        if part.labour_hours is not None and part.labour_hours > 0
    ]
    work_lines = tuple(_work_line(one, terms) for one in (*fitting, *work))
    names = [words.partition(",")[0] for words, _ in others]
    net = sum((line.total for line in (*part_lines, *work_lines) if line.total is not None), Decimal(0))
    tax = rounded(net * terms.tax_percent / 100)
    return QuotedPackage(
        name=name,
        parts=tuple(parts),
        work=tuple(work),
        part_lines=(
            *part_lines,
            *(QuoteLine("", words, Decimal(n), "pieces" if n > 1 else "piece", None, None) for words, n in others),
        ),
        work_lines=work_lines,
        net=net,
        tax=tax,
        gross=net + tax,
        unpriced=(*(part.code for part, _ in parts if part.price is None), *names),
        hours_unknown=(*(part.code for part, _ in parts if part.labour_hours is None), *names),
        not_on_shelf=tuple(words for words, _ in others),
    )


def same_parts(parts: Sequence[tuple[Part, int]]) -> list[tuple[Part, int]]:
    """The same with each part once, counts added, in the order in which they first come.

    Args:
        parts: parts with counts
    """
    counts: dict[str, int] = {}
    first: Mapping[str, Part] = {part.code: part for part, _ in reversed(parts)}
    for part, count in parts:
        counts[part.code] = counts.get(part.code, 0) + count
    return [(first[code], count) for code, count in counts.items()]


def _part_line(part: Part, count: int, terms: Terms) -> QuoteLine:
    if count < 1:
        raise InputError("A part is needed at least once", found=f"{part.code}: {count}", todo="Correct the count.")
    if part.price is not None and part.currency != terms.currency:
        raise InputError(
            "A part is priced in another currency than the quote",
            found=f"{part.code}: {part.currency}",
            allowed=terms.currency,
            todo="Put its price in the shop's currency on the shelf.",
        )
    total = None if part.price is None else rounded(part.price * count)
    unit = ("piece" if count == 1 else "pieces") if part.pieces == 1 else f"set of {part.pieces}"
    return QuoteLine(part.code, part.name, Decimal(count), unit, part.price, total)


def _work_line(work: QuotedWork, terms: Terms) -> QuoteLine:
    return QuoteLine("", work.name, work.hours, "h", terms.labour_rate, rounded(work.hours * terms.labour_rate))
