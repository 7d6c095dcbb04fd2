"""The shop file: what stands on the shop's paper, and what its work costs."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from jounce.car.file.fields import refuse
from jounce.car.file.reading import parse_document, read_text
from jounce.car.file.section import Section
from jounce.conventions.errors import InputError

__all__ = ["House", "Letterhead", "Shop", "Terms", "parse_shop", "read_shop"]


def _read_decimal(written: object) -> object:
    """An exact decimal number, zero or more."""
    if isinstance(written, Decimal):
        return written
    try:
        number = Decimal("NaN") if isinstance(written, bool) else Decimal(str(written).strip())
    except InvalidOperation:
        number = Decimal("NaN")
    if not number.is_finite() or not 0 <= number < 100000:
        refuse(
            InputError(
                "This is not an amount", found=repr(written), allowed="0 or more", todo="Write the number alone."
            )
        )
    return number


Exact = Annotated[Decimal, BeforeValidator(_read_decimal)]


def _read_prefix(written: object) -> object:
    """Letters and digits that may stand before the number of a quote."""
    text = str(written).strip()
    if not _PREFIX.fullmatch(text):
        refuse(
            InputError(
                "A quote's number cannot begin with this",
                found=repr(written),
                allowed="up to 8 letters, digits, dashes or slashes, or nothing",
                todo="Correct it.",
            )
        )
    return text


_PREFIX = re.compile(r"[A-Za-z0-9/-]{0,8}")
Prefix = Annotated[str, BeforeValidator(_read_prefix)]


class Letterhead(Section):
    """What stands on top of a sheet."""

    name: str = Field(min_length=1, description="name of the shop")
    lines: tuple[str, ...] = Field(
        default=(), description="address, telephone, anything else, in the order of printing"
    )


class Terms(Section):
    """What work costs, and how long a quote holds; prices and the hourly rate are before tax."""

    currency: str = Field(min_length=1, description="currency of all prices, as on the shelf")
    labour_rate: Exact = Field(description="price of an hour's work, before tax")
    tax_name: str = Field(default="tax", description="what the tax is called")
    tax_percent: Exact = Field(description="the tax on parts and work, in percent")
    valid_days: int = Field(default=30, ge=1, le=365, description="days for which a quote holds")
    number_prefix: Prefix = Field(default="", description='what a quote\'s number begins with, as "Q" in "Q2031-0007"')
    first_number: int = Field(default=1, ge=1, le=9999, description="number of a year's first quote")
    note: str = Field(default="", description="a sentence below the sums: payment, warranty, anything else")

    def numbers_of(self, year: int) -> str:
        """What the numbers of a year's quotes begin with.

        Args:
            year: the year
        """
        return f"{self.number_prefix}{year}-"


def _read_address(written: object) -> object:
    """An address under which other machines of the house find the workbench, without a path."""
    text = str(written).strip().rstrip("/")
    match = _ADDRESS.fullmatch(text)
    if text and (match is None or _ALONE.fullmatch(match["name"]) is not None):
        refuse(
            InputError(
                "Under this address no other machine finds the workbench",
                found=f'"{text}"',
                allowed='http or https, a name that lasts, a port: "https://workshop.local:8000"',
                todo="Give the address that is typed on the phone, or leave it empty: sheets then carry no code.",
            )
        )
    return text


_ADDRESS = re.compile(r"https?://(?P<name>[a-z0-9-]+(\.[a-z0-9-]+)*)(:[0-9]{1,5})?", re.IGNORECASE)
_ALONE = re.compile(r"localhost|127(\.[0-9]+){3}|0\.0\.0\.0", re.IGNORECASE)
"""Names by which a machine calls itself."""

Address = Annotated[str, BeforeValidator(_read_address)]


class House(Section):
    """How numbers are shown and printed in this shop; a browser may choose otherwise for itself."""

    units: Literal["metric", "inch", "kgf"] = Field(default="metric", description="unit set of the house")
    paper: Literal["a4", "letter"] = Field(default="a4", description="paper in the printer")
    address: Address = Field(
        default="",
        description="address of the workbench for other machines; with it printed sheets carry a code that leads back",
    )
    bands_learn: Literal["no", "yes"] = Field(
        default="no",
        description="whether the bands of planned cars are multiplied by what the ledger found; said wherever they stand",
    )
    questions_kept: Literal["yes", "no"] = Field(
        default="yes", description="whether what is asked in words is kept in the book, without names"
    )


class Shop(Section):
    """A shop."""

    shop: Letterhead = Field(description="what stands on top of a sheet")
    quote: Terms = Field(description="what work costs")
    house: House = Field(default=House(), description="units and paper of the house")


def read_shop(path: Path | str) -> Shop:
    """Read a shop file.

    Args:
        path: the file, TOML in UTF-8

    Raises:
        InputError: the file cannot be read or is no TOML
        InputProblems: all that is wrong with its content
    """
    return parse_shop(read_text(Path(path)), str(path))


def parse_shop(text: str, name: str) -> Shop:
    """Read the text of a shop file.

    Args:
        text: the content of the file
        name: name of the file, for messages

    Raises:
        InputError: the text is no TOML
        InputProblems: all that is wrong with its content
    """
    return parse_document(text, name, Shop)
