"""JSON Schemas of what goes in and out, in as few words as the table of operations can be read with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jounce.conventions.units import Kind, si_unit

__all__ = [
    "Schema",
    "choice",
    "listed",
    "named",
    "number",
    "objects",
    "or_null",
    "quantity",
    "si_unit",
    "text",
    "whole",
]

Schema = dict[str, Any]


def text(about: str, least: int = 0, most: int | None = None) -> Schema:
    """A text.

    Args:
        about: what it says
        least: fewest characters
        most: most characters
    """
    schema: Schema = {"type": "string", "description": about}
    if least:
        schema["minLength"] = least
    return schema if most is None else schema | {"maxLength": most}


def number(about: str, unit: str = "1", low: float | None = None, high: float | None = None) -> Schema:
    """A number with its unit.

    Args:
        about: what it is
        unit: its unit, "1" for none
        low: smallest accepted
        high: largest accepted
    """
    schema: Schema = {"type": "number", "description": f"{about} [{unit}]", "x-unit": unit}
    if low is not None:
        schema["minimum"] = low
    return schema if high is None else schema | {"maximum": high}


def quantity(about: str, kind: Kind) -> Schema:
    """A number of some kind, in SI.

    Args:
        about: what it is
        kind: what it measures
    """
    return number(about, si_unit(kind))


def whole(about: str, low: int = 0, high: int = 10**9) -> Schema:
    """A whole number.

    Args:
        about: what it counts
        low: smallest
        high: largest
    """
    return {"type": "integer", "description": about, "minimum": low, "maximum": high}


def choice(about: str, *words: str) -> Schema:
    """One of some words.

    Args:
        about: what is chosen
        words: what there is
    """
    return {"type": "string", "description": about, "enum": list(words)}


def or_null(schema: Schema) -> Schema:
    """The same, or null where it does not exist or is not known.

    Args:
        schema: of what is there; it has one type and no choices
    """
    return schema | {"type": [schema["type"], "null"]}


def listed(items: Schema, about: str = "", least: int = 0, most: int | None = None) -> Schema:
    """A list.

    Args:
        items: of each
        about: what they are
        least: fewest of them
        most: most of them
    """
    schema: Schema = {"type": "array", "items": items}
    if about:
        schema["description"] = about
    if least:
        schema["minItems"] = least
    return schema if most is None else schema | {"maxItems": most}


def objects(about: str, parts: Mapping[str, Schema], *, optional: tuple[str, ...] = ()) -> Schema:
    """An object with these parts and no others.

    Args:
        about: what it is
        parts: of each by its name
        optional: parts that may be missing
    """
    return {
        "type": "object",
        "description": about,
        "properties": dict(parts),
        "required": [name for name in parts if name not in optional],
        "additionalProperties": False,
    }


def named(about: str, each: Schema) -> Schema:
    """An object whose names are data.

    Args:
        about: what it is
        each: of every part
    """
    return {"type": "object", "description": about, "additionalProperties": each}
