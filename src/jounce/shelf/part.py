"""What every part on the shelf has: a code of the shop's own, where it goes, what it costs, when it comes."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, ValidationError, model_validator

from jounce.car.file.fields import TableField, refuse
from jounce.car.file.problems import problems_of
from jounce.car.file.section import Section, form_of
from jounce.conventions.errors import InputError
from jounce.conventions.unit_table import UNITS

__all__ = ["Needed", "Part", "Place", "Words", "known_as"]

Place = Literal["front", "rear", "either"]
Needed = tuple[tuple[str, ...], ...]
"""Keys that a well-known part tells; of those in one bracket any one is enough."""

_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]*")
_MOST = Decimal(1000000)


def _tidy(text: str) -> str:
    """The text on one line; what cannot be printed is refused."""
    line = " ".join(text.split())
    if not line.isprintable():
        refuse(InputError("The text has a character that cannot be printed", found=repr(line), todo="Type it anew."))
    return line


def _read_price(written: object) -> object:
    """A price as an exact decimal number."""
    if written is None or isinstance(written, Decimal):
        return written
    text = str(written).strip()
    try:
        price = Decimal("NaN") if isinstance(written, bool) else Decimal(text)
    except InvalidOperation:
        price = Decimal("NaN")
    if not price.is_finite() or not 0 <= price < _MOST or price != round(price, 2):
        refuse(
            InputError(
                "This is not a price",
                found=repr(written),
                allowed="0 or more, with at most two decimals",
                todo="Write the number alone; the currency has a key of its own.",
            )
        )
    return price


def _read_code(code: str) -> str:
    if not _CODE.fullmatch(code):
        refuse(
            InputError(
                "This code cannot be used",
                found=f'"{code}"',
                allowed='letters, digits, "-", "_" and ".", a letter or digit first',
                todo="Choose another code.",
            )
        )
    return code


Words = Annotated[str, AfterValidator(_tidy)]
Code = Annotated[str, AfterValidator(_read_code)]
Price = Annotated[Decimal, BeforeValidator(_read_price)]
Hours = Annotated[float, Field(ge=0, le=200)]
Pieces = Annotated[int, Field(ge=1, le=100)]
Stock = Annotated[int, Field(ge=0, le=1000000)]
Days = Annotated[int, Field(ge=0, le=1000)]


def known_as(section: type[Section], key: str) -> Any:
    """A key of a part that says the same as a key of the car file; on the shelf it may be unknown.

    Args:
        section: section of the car file, or of the job file
        key: its key there
    """
    return Field(default=None, description=section.model_fields[key].description)


class Part(Section):
    """A part on the shelf; a number that is not given is unknown."""

    KIND: ClassVar[str]
    """Word for the kind in a file."""
    TITLE: ClassVar[str]
    """What such a part is called."""
    MECHANICS: ClassVar[type[Section] | None] = None
    """Section of the car file, or of the job file, that the part becomes when it is fitted."""
    CARRIED: ClassVar[tuple[str, ...]] = ()
    """Keys that this section has under the same name and with the same meaning."""
    NEEDED: ClassVar[Needed] = ()
    """What has to be known before the part can become that section."""
    FITTING: ClassVar[Needed] = ()
    """Dimensions by which it is seen whether the part fits."""

    code: Code = Field(description="the shop's own code of the part, unique on the shelf")
    name: Words = Field(min_length=1, description="what the part is called")
    maker: Words = Field(default="", description="who makes it")
    supplier: Words = Field(default="", description="from whom it is ordered; the maker if not given")
    place: Place = Field(description="axle for which it is meant")
    side: Literal["left", "right", "either"] = Field(default="either", description="side for which it is made")
    price: Price | None = Field(default=None, description="price of the pieces that are sold together")
    currency: Words = Field(default="", description="currency of the price, as the shop writes it")
    pieces: Pieces = Field(default=1, description="pieces that are sold together for the price")
    labour_hours: Hours | None = Field(default=None, description="hours of work to fit these pieces")
    stock: Stock | None = Field(default=None, description="how many of these lots are in stock")
    lead_time_days: Days | None = Field(default=None, description="days until it comes when it is not in stock")
    supplier_note: Words = Field(default="", description="order number, anything else that is known of it")

    @property
    def values(self) -> dict[str, Any]:
        """Every key that says something, and what it says, in the order of the section."""
        told = ((name, getattr(self, name)) for name in type(self).model_fields)
        return {name: value for name, value in told if value is not None and value != ""}

    @property
    def unknown(self) -> tuple[str, ...]:
        """Keys that would have to be measured: of those that stand for one another, the first."""
        return tuple(keys[0] for keys in (*self.needed, *self.fitting) if not self._tells(keys))

    @property
    def needed(self) -> Needed:
        """What has to be known of this very part before it can be fitted in a calculation."""
        return self.NEEDED

    @property
    def fitting(self) -> Needed:
        """Dimensions by which it is seen whether this very part fits."""
        return self.FITTING

    @property
    def mechanics(self) -> Section | None:
        """The section of the car file that the part becomes; None where too little is known of it."""
        if self.MECHANICS is None or not all(self._tells(keys) for keys in self.needed):
            return None
        return self.MECHANICS.model_validate(self.as_written)

    @property
    def carried(self) -> dict[str, Any]:
        """What the part says of the section that it becomes."""
        return {name: value for name, value in self.values.items() if name in self.CARRIED}

    @property
    def as_written(self) -> dict[str, Any]:
        """The same in the form in which a section reads it: rows of a curve carry their units."""
        carried = self.carried
        for key, value in carried.items():
            table = form_of(type(self).model_fields[key], TableField)
            if table is not None:
                units = [next(unit.symbol for unit in UNITS[kind] if unit.factor == 1.0) for _, kind in table.columns]
                carried[key] = [[f"{x!r} {unit}" for x, unit in zip(row, units, strict=True)] for row in value]
        return carried

    def problems(self) -> list[InputError]:
        """What is wrong with the part even where too little is known for a section of the car file."""
        return []

    def _tells(self, keys: tuple[str, ...]) -> bool:
        return any(getattr(self, key) not in (None, "") for key in keys)

    @model_validator(mode="after")
    def _check_part(self) -> Self:
        problems = self.problems()
        if self.price is not None and not self.currency:
            problems.append(InputError("The price has no currency", todo='Add it: currency = "EUR".', place="currency"))
        if problems:
            refuse(*problems)
        try:
            _ = self.mechanics
        except ValidationError as error:
            refuse(*problems_of(error, self.carried, {}, self.MECHANICS or Section))
        return self
