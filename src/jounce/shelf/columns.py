"""The columns of a CSV file: a head names key, what of it, and unit, as in ``free_length_plus_minus_mm``."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any, Literal, get_args

from pydantic.fields import FieldInfo

from jounce.car.file.fields import PointField, QuantityField, TableField
from jounce.car.file.quantity import suggestion
from jounce.car.file.section import form_of
from jounce.conventions.errors import InputError
from jounce.conventions.unit_table import UNITS, Unit
from jounce.conventions.units import Kind, unit_of
from jounce.shelf.kinds import KINDS
from jounce.shelf.part import Part

__all__ = ["KIND_HEAD", "ShelfColumn", "all_models", "columns_of", "unknown_head"]

KIND_HEAD = "kind"
"""Head of the column that a wide file has: the kind of the part."""

What = Literal["value", "plus_minus", "from"]
Form = Literal["measured", "point", "rows", "number", "text"]


@dataclass(frozen=True, slots=True)
class ShelfColumn:
    """One column.

    Attributes:
        head: its name in the first line
        key: the key of the part
        what: the value, its band, or its origin
        form: how its cells are written
        kinds: what the numbers in a cell measure, one for each number of a row
        unit: unit of a single measured number; "" where there is nothing to convert

    """

    head: str
    key: str
    what: What
    form: Form
    kinds: tuple[Kind, ...] = ()
    unit: str = ""

    @property
    def numeric(self) -> bool:
        """Whether its cells hold numbers, in which a comma may be the decimal sign."""
        return self.form != "text"


@cache
def columns_of(model: type[Part]) -> dict[str, ShelfColumn]:
    """Every column that a kind of part may have, by its head, the one with the default unit first for each key.

    Args:
        model: the kind of part
    """
    return {column.head: column for key, field in model.model_fields.items() for column in _columns(key, field)}


def unknown_head(head: str, models: tuple[type[Part], ...], place: str) -> InputError:
    """The problem of a head that is none.

    Args:
        head: as written
        models: kinds of parts that the file may hold
        place: where it stands
    """
    known = {column.head: column for model in models for column in columns_of(model).values()}
    measured = [name for name, column in known.items() if column.key == head and column.form != "text"]
    if measured:
        return InputError(
            "This column does not say its unit", found=f'"{head}"', todo=f'Call it "{measured[0]}".', place=place
        )
    heads = [KIND_HEAD, *(name for model in models for name in columns_of(model))]
    return InputError("This column is not known", found=f'"{head}"', todo=_near(head, heads), place=place)


def _near(head: str, heads: list[str]) -> str:
    todo = suggestion(head, heads)
    return todo if todo.startswith("Did") else "Take its name from an exported file, or leave the column out."


def _columns(key: str, field: FieldInfo) -> Iterator[ShelfColumn]:
    if quantity := form_of(field, QuantityField):
        units = _units(quantity.kind)
        for what in ("value", "plus_minus"):
            yield from (_measured(key, what, "measured", quantity.kind, unit) for unit in units)
        yield ShelfColumn(f"{key}_from", key, "from", "text")
    elif form_of(field, PointField):
        yield ShelfColumn(f"{key}_mm", key, "value", "point", (Kind.LENGTH,) * 3)
        yield ShelfColumn(f"{key}_plus_minus_mm", key, "plus_minus", "measured", (Kind.LENGTH,), "mm")
        yield ShelfColumn(f"{key}_from", key, "from", "text")
    elif table := form_of(field, TableField):
        kinds = tuple(kind for _, kind in table.columns)
        suffix = "_".join(unit_of(kind).suffix for kind in kinds)
        yield ShelfColumn(f"{key}_{suffix}", key, "value", "rows", kinds)
    else:
        yield ShelfColumn(key, key, "value", "number" if _is_number(field.annotation) else "text")


def _measured(key: str, what: Literal["value", "plus_minus"], form: Form, kind: Kind, unit: Unit) -> ShelfColumn:
    name = key if what == "value" else f"{key}_plus_minus"
    head = f"{name}_{unit.suffix}" if unit.suffix else name
    return ShelfColumn(head, key, what, form, (kind,), unit.symbol)


def _units(kind: Kind) -> list[Unit]:
    default = unit_of(kind)
    return [default, *(unit for unit in UNITS[kind] if unit != default)]


def _is_number(annotation: Any) -> bool:
    found = (annotation, *get_args(annotation), *(inner for part in get_args(annotation) for inner in get_args(part)))
    return any(kind in found for kind in (int, float, Decimal))


def all_models() -> tuple[type[Part], ...]:
    """Every kind of part."""
    return tuple(KINDS.values())
