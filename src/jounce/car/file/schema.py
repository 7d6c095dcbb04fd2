"""The form of a car file as a JSON Schema, for editors that complete and check while somebody types.

It describes a file as it is written (sides included), and is never stricter than the reader: what depends on several
keys together is left to the reader, which also tells what to do.
"""

from __future__ import annotations

import math
from typing import Any, cast

from pydantic import TypeAdapter
from pydantic.fields import FieldInfo

from jounce.car.axles.axle import Axle
from jounce.car.file.contents import AXLES
from jounce.car.file.document import CarDocument
from jounce.car.file.fields import DirectionField, Lengths, PointField, PointsField, QuantityField, TableField
from jounce.car.file.open_section import FreeSection
from jounce.car.file.section import Section, form_of, section_in
from jounce.conventions.axes import ENDS, SIDES
from jounce.conventions.units import unit_of

__all__ = ["car_schema", "section_schema"]

Schema = dict[str, Any]

_TEXT: Schema = {"type": "string"}
_NUMBER_OR_TEXT: Schema = {"type": ["number", "string"]}
_COORDINATES: Schema = {"type": "array", "items": _NUMBER_OR_TEXT, "minItems": 3, "maxItems": 3}


def car_schema() -> Schema:
    """JSON Schema (draft 2020-12) of a car file.

    Every number has its description, its kind, its default unit and its ranges (``x-kind``, ``x-unit``, ``x-accepted``,
    ``x-usual``); numbers without a unit are in the default unit.
    """
    definitions: Schema = {}
    schema = _section(CarDocument, definitions)
    for name, model in AXLES.items():
        definitions[f"axle {name}"] = _axle(model, definitions)
    layouts = [{"$ref": f"#/$defs/axle {name}"} for name in AXLES]
    for end in ENDS:
        described = {"description": CarDocument.model_fields[end].description}
        schema["properties"][end] = described | {"oneOf": layouts}
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Car file"}
    return head | schema | {"$defs": definitions}


def section_schema(model: type[Section], title: str) -> Schema:
    """JSON Schema (draft 2020-12) of another file that is a section with sections in it.

    Args:
        model: the whole file
        title: what the file is called
    """
    definitions: Schema = {}
    schema = _section(model, definitions)
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title}
    return head | schema | {"$defs": definitions}


def _section(model: type[Section], definitions: Schema, *, complete: bool = True) -> Schema:
    fields = model.model_fields
    schema: Schema = {
        "type": "object",
        "properties": {name: _field(field, definitions) for name, field in fields.items()},
        "additionalProperties": _field(model.entry(), definitions) if issubclass(model, FreeSection) else False,
    }
    required = [name for name, field in fields.items() if field.is_required()]
    return schema | {"required": required} if complete and required else schema


def _referred(model: type[Section], definitions: Schema, *, complete: bool = True) -> Schema:
    """A section by reference: many sections stand in many places."""
    name = model.__name__ if complete else f"keys of {model.__name__}"
    if name not in definitions:
        definitions[name] = {}  # holds the place while its own sections are described
        definitions[name] = _section(model, definitions, complete=complete)
    return {"$ref": f"#/$defs/{name}"}


def _axle(model: type[Axle], definitions: Schema) -> Schema:
    """An axle as written: the sections of its sides stand at axle level, and once more below left and right."""
    schema = _section(model, definitions)
    side = {
        name: {"description": field.description} | _referred(below, definitions, complete=False)
        for name, field in model.SIDE_MODEL.model_fields.items()
        if (below := section_in(field))
    }
    for name in SIDES:
        described = {"description": model.model_fields[name].description}
        schema["properties"][name] = described | {"type": "object", "properties": side, "additionalProperties": False}
    schema["properties"] |= side
    schema["required"] = [name for name in schema["required"] if name not in SIDES]
    return schema


def _field(field: FieldInfo, definitions: Schema) -> Schema:
    described: Schema = {"description": field.description or ""}
    if (model := section_in(field)) is not None:
        return described | _referred(model, definitions)
    if quantity := form_of(field, QuantityField):
        return described | _quantity(quantity)
    if form_of(field, PointField):
        return described | _POINT
    if points := form_of(field, PointsField):
        return described | {"type": "array", "items": _POINT, "minItems": points.fewest}
    if form_of(field, Lengths):
        row = {"type": "array", "items": _NUMBER_OR_TEXT, "minItems": 1}
        return described | {"x-unit": "mm", "anyOf": [_NUMBER_OR_TEXT, row]}
    if form_of(field, DirectionField):
        return described | {"type": "array", "items": {"type": "number"}, "minItems": 3, "maxItems": 3}
    if table := form_of(field, TableField):
        return described | _table(table)
    own: Schema | None = next((form.json_form for form in field.metadata if hasattr(form, "json_form")), None)
    if own is not None:
        return described | own
    return described | _plain(field)


def _quantity(quantity: QuantityField) -> Schema:
    low, high = quantity.hard
    number: Schema = {"type": "number", "minimum": low}
    if math.isfinite(high):
        number["maximum"] = high
    schema: Schema = {
        "x-kind": quantity.kind.value,
        "x-unit": quantity.unit,
        "x-accepted": [limit if math.isfinite(limit) else None for limit in quantity.hard],
        "anyOf": [number, _TEXT, _stated({"value": {"anyOf": [number, _TEXT]}}, "value")],
    }
    return schema | {"x-usual": list(quantity.usual)} if quantity.usual else schema


def _stated(value: Schema, key: str) -> Schema:
    """The long form of a value, with its band and its origin."""
    properties = value | {"plus_minus": _NUMBER_OR_TEXT, "from": _TEXT}
    return {"type": "object", "properties": properties, "required": [key], "additionalProperties": False}


_POINT: Schema = {"x-unit": "mm", "anyOf": [_COORDINATES, _stated({"at": _COORDINATES}, "at")]}


def _table(table: TableField) -> Schema:
    columns = [
        _NUMBER_OR_TEXT | {"title": name, "x-kind": kind.value, "x-unit": unit_of(kind).symbol}
        for name, kind in table.columns
    ]
    row = {"type": "array", "prefixItems": columns, "minItems": len(columns), "maxItems": len(columns)}
    return {"type": "array", "items": row, "minItems": 2}


def _plain(field: FieldInfo) -> Schema:
    """Texts, whole numbers, choices; a TOML file has no null."""
    schema: Schema = TypeAdapter[Any](cast("type", field.annotation)).json_schema()
    for limit in field.metadata:
        for name, keyword in (("ge", "minimum"), ("le", "maximum"), ("min_length", "minLength")):
            if (value := getattr(limit, name, None)) is not None:
                schema[keyword] = value
    if "anyOf" in schema:
        kept = [choice for choice in schema.pop("anyOf") if choice.get("type") != "null"]
        schema |= kept[0] if len(kept) == 1 else {"anyOf": kept}
    return schema
