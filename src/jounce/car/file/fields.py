"""How the fields of a car file are read and checked: one class per form of entry.

Each is metadata for an annotated type, so that a field of a section says all about itself in one line: what it
measures, what physics allows, what is usual.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from pydantic_core import PydanticCustomError, core_schema

from jounce.car.file.quantity import Measured, MeasuredPoint, PointEntry, read_measured, read_point
from jounce.conventions.errors import InputError, at, check_range
from jounce.conventions.units import Kind, read, show, unit_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from pydantic import GetCoreSchemaHandler
    from pydantic_core import CoreSchema

__all__ = [
    "DirectionField",
    "GroupedTableField",
    "Lengths",
    "PointField",
    "PointsField",
    "QuantityField",
    "TableField",
    "refuse",
]

Result = TypeVar("Result")

CHECK = "Check the value and its unit."
INFINITY = math.inf


def refuse(*problems: InputError) -> NoReturn:
    """Hand problems to the validation in progress; :mod:`jounce.car.file.problems` takes them out again.

    Args:
        problems: what is wrong, each with its place below the section that is being read

    """
    message = " ".join(str(problem) for problem in problems)
    raise PydanticCustomError("refused", "{message}", {"message": message, "problems": problems})


@dataclass(frozen=True, slots=True)
class QuantityField:
    """A measured number.

    Attributes:
        kind: what it measures
        hard: smallest and largest value accepted, in the default unit of the kind
        usual: range outside which the value is remarked upon, in the default unit of the kind

    """

    kind: Kind
    hard: tuple[float, float]
    usual: tuple[float, float] | None = None

    @property
    def unit(self) -> str:
        """Symbol of the default unit."""
        return unit_of(self.kind).symbol

    def shown(self, si: float) -> float:
        """The value in the default unit, freed of the rounding that a conversion leaves."""
        return float(f"{si / unit_of(self.kind).factor:.12g}")

    def read(self, written: object) -> Measured:
        """Read a number and refuse it outside the hard limits.

        Args:
            written: any form of a measured number

        Raises:
            InputError: not readable, or outside the hard limits

        """
        measured = read_measured(written, self.kind)
        check_range("The value", self.shown(measured.value), *self.hard, self.unit, CHECK)
        return measured

    def remark(self, measured: Measured) -> str:
        """A sentence on a value that is possible but not usual; "" for a usual one.

        Args:
            measured: the value [SI]

        """
        if self.usual is None or self.usual[0] <= self.shown(measured.value) <= self.usual[1]:
            return ""
        low, high = self.usual
        return f"unusual: {show(measured.value, self.kind)}, usual range {low:g} to {high:g} {self.unit}. {CHECK}"

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read with :meth:`read` whatever the file gives."""
        return core_schema.no_info_plain_validator_function(_told(self.read))


@dataclass(frozen=True, slots=True)
class PointField:
    """A measured point; which side it belongs to is known from its place in the file."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read with :func:`jounce.car.file.quantity.read_point`."""
        return core_schema.no_info_plain_validator_function(_told(read_point))


@dataclass(frozen=True, slots=True)
class PointsField:
    """Points in a row, ``fewest`` or more; which side they belong to is known from their place in the file."""

    fewest: int = 1

    def read(self, written: object) -> tuple[MeasuredPoint, ...]:
        """Read the points.

        Args:
            written: list of points, or an entry around it

        Raises:
            InputError: no list, too short a list, or a point that cannot be read

        """
        entry = written if isinstance(written, PointEntry) else PointEntry(written)
        rows = entry.written
        if not isinstance(rows, (list, tuple)) or len(rows) < self.fewest:
            raise InputError(
                f"A list of {self.fewest} or more points is needed", found=repr(rows), allowed="[[x, y, z], [x, y, z]]"
            )
        points = []
        for number, row in enumerate(rows, start=1):
            with at(str(number)):
                points.append(row if isinstance(row, MeasuredPoint) else read_point(replace(entry, written=row)))
        return tuple(points)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read with :meth:`read`."""
        return core_schema.no_info_plain_validator_function(_told(self.read))


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths in a row, none below zero; a single one may stand alone."""

    def read(self, written: object) -> tuple[float, ...]:
        """Read the lengths [m].

        Args:
            written: a length, or a list of them

        Raises:
            InputError: an empty list, or a length that cannot be read or is below zero

        """
        rows = written if isinstance(written, (list, tuple)) else [written]
        if not rows:
            raise InputError("This list is empty", allowed="a length, or a list of lengths")
        lengths = tuple(read(row, Kind.LENGTH) for row in rows)
        if min(lengths) < 0:
            raise InputError("A length is below zero", found=repr(written), allowed="0 or more")
        return lengths

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read with :meth:`read`."""
        return core_schema.no_info_plain_validator_function(_told(self.read))


@dataclass(frozen=True, slots=True)
class DirectionField:
    """Three plain numbers that give a direction; their length does not matter."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read and bring to length one."""
        return core_schema.no_info_plain_validator_function(_told(_read_direction))


@dataclass(frozen=True, slots=True)
class TableField:
    """Rows of numbers, none below zero, the first column rising from row to row.

    Attributes:
        columns: name and kind of each column
        rising: whether the other columns must not fall

    """

    columns: tuple[tuple[str, Kind], ...]
    rising: bool = False

    def read(self, written: object) -> tuple[tuple[float, ...], ...]:
        """Read the rows.

        Args:
            written: list of rows, each a list of numbers or texts with units

        Returns:
            The rows, in SI

        Raises:
            InputError: wrong shape, unreadable number, or wrong order

        """
        form = "[" + ", ".join(f"{name} in {unit_of(kind).symbol}" for name, kind in self.columns) + "]"
        if not isinstance(written, (list, tuple)) or len(written) < 2:
            raise InputError("A curve needs two rows or more", found=repr(written), allowed=f"rows of {form}")
        rows = [self._read_row(number, row, form) for number, row in enumerate(written, start=1)]
        self._check_order(rows)
        return tuple(rows)

    def _read_row(self, number: int, row: object, form: str) -> tuple[float, ...]:
        if not isinstance(row, (list, tuple)) or len(row) != len(self.columns):
            raise InputError(f"Row {number} has not {len(self.columns)} numbers", found=repr(row), allowed=form)
        numbers = tuple(read(value, kind) for value, (_, kind) in zip(row, self.columns, strict=True))
        if min(numbers) < 0:
            raise InputError(f"Row {number} has a number below zero", found=repr(row), allowed="0 or more")
        return numbers

    def _check_order(self, rows: Sequence[tuple[float, ...]]) -> None:
        name = self.columns[0][0]
        for number, (row, after) in enumerate(pairwise(rows), start=2):
            if after[0] <= row[0]:
                raise InputError(f"The {name} of row {number} is not larger than that of the row before")
            if self.rising and any(high < low for low, high in zip(row[1:], after[1:], strict=True)):
                raise InputError(f"Row {number} falls below the row before", todo="A stop only grows harder.")

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read with :meth:`read`."""
        return core_schema.no_info_plain_validator_function(_told(self.read))


@dataclass(frozen=True, slots=True)
class GroupedTableField(TableField):
    """Rows of numbers in groups: the first column stays the same within a group, the second rises within it."""

    def _check_order(self, rows: Sequence[tuple[float, ...]]) -> None:
        (group, _), (name, _) = self.columns[:2]
        for number, (row, after) in enumerate(pairwise(rows), start=2):
            if after[0] == row[0] and after[1] <= row[1]:
                raise InputError(f"The {name} of row {number} is not larger than that of the row before")
        starts = [
            row[0] for row, before in zip(rows, (None, *rows), strict=False) if before is None or row[0] != before[0]
        ]
        if len(set(starts)) < len(starts):
            raise InputError(f"The rows of one {group} do not stand together", todo="Put them below one another.")


def _read_direction(written: object) -> tuple[float, float, float]:
    numbers = written if isinstance(written, (list, tuple)) else ()
    if len(numbers) != 3 or any(isinstance(n, bool) or not isinstance(n, (int, float)) for n in numbers):
        raise InputError("A direction needs three plain numbers", found=repr(written), allowed="[x, y, z]")
    length = math.hypot(*numbers)
    if not math.isfinite(length) or length == 0:
        raise InputError("This direction has no length", found=repr(written), todo="Give at least one number not zero.")
    x, y, z = (number / length for number in numbers)
    return (x, y, z)


def _told(reader: Callable[[object], Result]) -> Callable[[object], Result]:
    """The reader with its errors told in the way the validation understands."""

    def read_or_refuse(written: object) -> Result:
        try:
            return reader(written)
        except InputError as problem:
            refuse(problem)

    return read_or_refuse
