"""A quote as it was handed over: its number, its revision, its days, and every price as it stood on that day."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from pydantic import Field

from jounce.car.file.reading import parse_document
from jounce.car.file.rewriting import rewritten
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError
from jounce.quote.quote import QuotedPackage, QuoteLine
from jounce.quote.shop import Terms

__all__ = ["KeptLine", "KeptPackage", "KeptQuote", "QuoteDocument", "QuoteHead", "parse_quote", "quote_text"]

ANSWERS = ("open", "accepted", "declined")
"""What a customer may have said to a quote."""


@dataclass(frozen=True, slots=True)
class QuoteHead:
    """By what a quote is known, as it stands on its sheet."""

    number: str
    revision: int
    date: datetime.date
    valid_until: datetime.date

    @property
    def mark(self) -> str:
        """Number and revision."""
        return f"{self.number}, revision {self.revision}"

    @property
    def told(self) -> str:
        """Number and revision in words."""
        return f"quote {self.mark}"


class KeptLine(Section):
    """One line, with the price as it was; none where none was known."""

    name: str = Field(description="the part, or the work")
    code: str = Field(default="", description="code on the shelf; empty for work")
    quantity: Decimal = Field(description="how many, or how many hours")
    unit: str = Field(description="piece, set, hours")
    price: Decimal | None = Field(default=None, description="price of one, before tax")
    total: Decimal | None = Field(default=None, description="price of all, before tax")


class KeptPackage(Section):
    """A package with its sums as they were."""

    name: str = Field(description="what the package is called")
    net: Decimal = Field(description="sum before tax")
    tax: Decimal = Field(description="tax on it")
    gross: Decimal = Field(description="what the customer pays")
    at_least: bool = Field(default=False, description="whether a price or a fitting time was not known")
    line: tuple[KeptLine, ...] = Field(default=(), description="parts, then work")


class KeptQuote(Section):
    """What a quote says on top, and what became of it."""

    number: str = Field(min_length=1, max_length=60, description="its number, given once")
    revision: int = Field(ge=1, description="how often it was handed over anew")
    date: datetime.date = Field(description="day of this revision")
    valid_until: datetime.date = Field(description="last day on which it holds")
    currency: str = Field(min_length=1, description="currency of all prices")
    tax_name: str = Field(description="what the tax is called")
    tax_percent: Decimal = Field(description="the tax, in percent")
    labour_rate: Decimal = Field(description="price of an hour, before tax")
    edition: str = Field(default="", description="versions of job and car that it was worked out from")
    answer: Literal["open", "accepted", "declined"] = Field(default="open", description="what the customer said")
    answered: datetime.date | None = Field(default=None, description="day of that answer")
    package: str = Field(default="", description="name of the package that was accepted")

    @property
    def head(self) -> QuoteHead:
        """By what it is known."""
        return QuoteHead(self.number, self.revision, self.date, self.valid_until)

    def expired(self, today: datetime.date) -> bool:
        """Whether it holds no longer and nobody answered.

        Args:
            today: the day
        """
        return self.answer == "open" and self.valid_until < today


class QuoteDocument(Section):
    """A whole quote."""

    quote: KeptQuote
    asked: dict[str, str] = Field(default={}, description="fields of the form that it was made from")
    package: tuple[KeptPackage, ...] = Field(min_length=1, description="packages side by side")

    @property
    def sum_told(self) -> str:
        """What is to be paid: of the accepted package, else from the least to the most."""
        chosen = [one for one in self.package if one.name == self.quote.package] or list(self.package)
        least, most = (f"{pick(one.gross for one in chosen):.2f}" for pick in (min, max))
        more = "from " if any(one.at_least for one in chosen) else ""
        return f"{more}{least if least == most else f'{least} to {most}'} {self.quote.currency}"


def parse_quote(text: str) -> QuoteDocument:
    """A quote by its document in the book.

    Args:
        text: the document

    Raises:
        InputError: it is no such document
    """
    found = parse_document(text, "the quote", QuoteDocument)
    names = [one.name for one in found.package]
    if found.quote.package and found.quote.package not in names:
        raise InputError(
            "The quote has no such package", found=found.quote.package, allowed=", ".join(names), todo="Choose one."
        )
    return found


def quote_text(
    head: QuoteHead, packages: Sequence[QuotedPackage], terms: Terms, asked: Mapping[str, str], edition: str = ""
) -> str:
    """The document of a quote: every price as it is now.

    Args:
        head: its number, revision and days
        packages: what is offered, priced
        terms: currency, tax, hourly rate
        asked: fields of the form that it was made from, so that a revision begins with them
        edition: versions of job and car that it was worked out from
    """
    values = {
        "number": head.number,
        "revision": head.revision,
        "date": head.date,
        "valid_until": head.valid_until,
        "currency": terms.currency,
        "tax_name": terms.tax_name,
        "tax_percent": str(terms.tax_percent),
        "labour_rate": str(terms.labour_rate),
        "edition": edition,
    }
    whole: dict[str, object] = {f"quote.{name}": value for name, value in values.items()}
    whole |= {f"asked.{name}": text for name, text in asked.items() if text}
    whole["package"] = [_package(one) for one in packages]
    return rewritten("", whole)


def _package(package: QuotedPackage) -> dict[str, object]:
    return {
        "name": package.name,
        "net": str(package.net),
        "tax": str(package.tax),
        "gross": str(package.gross),
        "at_least": package.at_least,
        "line": [_line(one) for one in (*package.part_lines, *package.work_lines)],
    }


def _line(line: QuoteLine) -> dict[str, object]:
    known = {"price": line.price, "total": line.total}
    told: dict[str, object] = {"name": line.name, "code": line.code, "quantity": str(line.quantity), "unit": line.unit}
    return told | {key: str(amount) for key, amount in known.items() if amount is not None}
