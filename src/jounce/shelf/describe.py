"""A part in words: what is known of it, what is not."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from pydantic.fields import FieldInfo

from jounce.car.file.fields import QuantityField, TableField
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.section import form_of
from jounce.conventions.typed import neat
from jounce.conventions.units import Kind, unit_of
from jounce.shelf.part import Part

__all__ = ["known_rows", "price_of", "stock_of", "unknown_rows"]


def known_rows(part: Part, units: str = "metric") -> list[tuple[str, str, str]]:
    """Key, value with unit and band, and where it comes from or what it is, for all that is known of a part.

    Args:
        part: the part
        units: unit set in which numbers are shown
    """
    rows = []
    for key, value in part.values.items():
        field = type(part).model_fields[key]
        origin = value.origin if isinstance(value, (Measured, MeasuredPoint)) else ""
        rows.append((key, _value(value, field, units), origin or field.description or ""))
    return rows


def unknown_rows(part: Part) -> list[tuple[str, str]]:
    """Key and meaning of all that is not known of a part and would be needed.

    Args:
        part: the part
    """
    return [(key, type(part).model_fields[key].description or "") for key in part.unknown]


def price_of(part: Part) -> str:
    """The price in words; "unknown" where it is not given.

    Args:
        part: the part
    """
    return "unknown" if part.price is None else f"{part.price:.2f} {part.currency}"


def stock_of(part: Part) -> str:
    """Whether it is there, or when it comes.

    Args:
        part: the part
    """
    if part.stock:
        return f"{part.stock} in stock"
    days = "" if part.lead_time_days is None else f"{part.lead_time_days} days"
    if part.stock is None:
        return f"stock unknown, {days}" if days else "stock unknown"
    return days or "out of stock"


def _value(value: Any, field: FieldInfo, units: str) -> str:
    if isinstance(value, Measured):
        quantity = form_of(field, QuantityField)
        return _measured(value, quantity.kind if quantity else Kind.RATIO, units)
    if isinstance(value, MeasuredPoint):
        return f"{_numbers((value.x, value.y, value.z), [Kind.LENGTH] * 3, units)} {_symbol(Kind.LENGTH, units)}"
    table = form_of(field, TableField)
    if table is not None:
        kinds = [kind for _, kind in table.columns]
        heads = ", ".join(f"{name} {_symbol(kind, units)}" for name, kind in table.columns)
        return f"{heads}: " + "; ".join(_numbers(row, kinds, units) for row in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.2f}" if isinstance(value, Decimal) else str(value)


def _measured(value: Measured, kind: Kind, units: str) -> str:
    symbol = _symbol(kind, units)
    unit = "" if symbol == "-" else f" {symbol}"
    band = f" ± {_number(value.plus_minus, kind, units)}" if value.plus_minus else ""
    return f"{_number(value.value, kind, units)}{band}{unit}"


def _numbers(row: Sequence[float], kinds: Sequence[Kind], units: str) -> str:
    return " ".join(_number(si, kind, units) for si, kind in zip(row, kinds, strict=True))


def _number(si: float, kind: Kind, units: str) -> str:
    unit = unit_of(kind, units)
    return neat(si / unit.factor, unit.decimals)


def _symbol(kind: Kind, units: str) -> str:
    return unit_of(kind, units).symbol
