"""Whether what was sent is what an operation's schema says: all that is wrong is told at once.

Of JSON Schema only what the table of operations uses is known here.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Sequence
from itertools import islice
from typing import Any

from jounce.conventions.errors import InputError, InputProblems
from jounce.web.api.operation import Parameter
from jounce.web.api.schemas import Schema

__all__ = ["check", "read_json", "read_query"]

_TYPES: dict[str, tuple[type, ...]] = {
    "string": (str,),
    "number": (int, float),
    "integer": (int,),
    "boolean": (bool,),
    "array": (list,),
    "object": (dict,),
    "null": (type(None),),
}
_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?")
_KEY = re.compile(rb'"\s*:')
_DEEPEST = 40
_MOST_KEYS = 20_000
_MOST_WRONG = 200
_LONGEST_SHOWN = 60


def read_json(content: bytes) -> Any:
    """Content of a JSON body.

    Args:
        content: its bytes

    Raises:
        InputError: it is no JSON, or holds what cannot be kept
    """
    if len(_KEY.findall(content)) > _MOST_KEYS:
        raise InputError("The body has too many names", allowed=f"up to {_MOST_KEYS}", place="body")
    try:
        value = json.loads(content.decode("utf-8"), parse_constant=_no_number, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise InputError(
            "The body is no JSON text in UTF-8", found=str(error)[:200], todo="Send one JSON value.", place="body"
        ) from None
    if _depth(value) > _DEEPEST:
        raise InputError("The body is nested too deeply", todo="Send what the operation asks for.", place="body")
    return value


def read_query(parameters: Sequence[Parameter], given: Sequence[tuple[str, str]]) -> dict[str, Any]:
    """What stands behind the question mark, read as the schemas say.

    Args:
        parameters: what the operation takes there
        given: names and texts in their order

    Raises:
        InputProblems: all that is wrong with it
    """
    known = {parameter.name: parameter for parameter in parameters if parameter.where == "query"}
    problems: list[InputError] = []
    found: dict[str, Any] = {}
    for name, text in given:
        if name not in known:
            allowed = ", ".join(known) or "none"
            problems.append(InputError("This is not asked for", found=name[:60], allowed=allowed, place="query"))
            continue
        schema = known[name].schema
        if schema["type"] == "array":
            found.setdefault(name, []).append(_read(text, schema["items"]))
        elif name in found:
            problems.append(InputError("It is given twice", found=text[:60], todo="Give it once.", place=name))
        else:
            found[name] = _read(text, schema)
    for name, parameter in known.items():
        if name in found:
            problems += _problems(found[name], parameter.schema, name)
        elif parameter.required:
            problems.append(InputError("It is missing", todo="Give it behind the question mark.", place=name))
    if problems:
        raise InputProblems(problems)
    return found


def check(value: Any, schema: Schema, place: str) -> None:
    """Refuse what is not as a schema says.

    Args:
        value: plain data
        schema: what it must be
        place: what it is called

    Raises:
        InputProblems: all that is wrong with it, as far as anybody reads
    """
    problems = list(islice(_problems(value, schema, place), _MOST_WRONG))
    if problems:
        raise InputProblems(problems)


def _problems(value: Any, schema: Schema, place: str) -> Iterator[InputError]:
    kinds = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
    if not any(_is(value, kind) for kind in kinds):
        yield InputError("This is of another type", found=_shown(value), allowed=" or ".join(kinds), place=place)
    elif "enum" in schema and value not in schema["enum"]:
        allowed = ", ".join(map(str, schema["enum"]))
        yield InputError("There is no such choice", found=_shown(value), allowed=allowed, place=place)
    elif isinstance(value, str):
        yield from _of_text(value, schema, place)
    elif isinstance(value, list):
        yield from _of_size(len(value), schema, ("minItems", "maxItems", "parts"), place)
        for number, one in enumerate(value[: schema.get("maxItems")]):
            yield from _problems(one, schema["items"], f"{place}[{number}]")
    elif isinstance(value, dict):
        yield from _of_object(value, schema, place)
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield from _of_size(value, schema, ("minimum", "maximum", schema.get("x-unit", "").replace("1", "")), place)


def _of_text(value: str, schema: Schema, place: str) -> Iterator[InputError]:
    yield from _of_size(len(value), schema, ("minLength", "maxLength", "characters"), place)
    if "\0" in value or any("\ud800" <= letter <= "\udfff" for letter in value):
        yield InputError("The text has characters that no text has", allowed="text as in UTF-8, no NUL", place=place)


def _of_object(value: dict[str, Any], schema: Schema, place: str) -> Iterator[InputError]:
    known, others = schema.get("properties", {}), schema.get("additionalProperties", False)
    for name in schema.get("required", ()):
        if name not in value:
            yield InputError("It is missing", todo="Give it.", place=f"{place}.{name}")
    for name, one in value.items():
        if name in known:
            yield from _problems(one, known[name], f"{place}.{name}")
        elif others is False:
            allowed = ", ".join(known) or "none"
            yield InputError("This is not asked for", found=_shown(name), allowed=allowed, place=place)
        else:
            yield from _of_text(name, {}, f"{place}, a name")
            yield from _problems(one, others, f"{place}.{name[:60]}")


def _of_size(size: float, schema: Schema, names: tuple[str, str, str], place: str) -> Iterator[InputError]:
    low, high = schema.get(names[0], -math.inf), schema.get(names[1], math.inf)
    if low <= size <= high:
        return
    unit = f" {names[2]}" if names[2] else ""
    allowed = f"{low:g}{unit} or more" if size < low else f"up to {high:g}{unit}"
    yield InputError("This is out of range", found=f"{size:.6g}{unit}", allowed=allowed, place=place)


def _is(value: Any, kind: str) -> bool:
    if kind == "integer" and isinstance(value, float):
        return value.is_integer()
    if isinstance(value, bool) and kind != "boolean":
        return False
    if isinstance(value, float) and not math.isfinite(value):
        return False
    return isinstance(value, _TYPES[kind])


def _read(text: str, schema: Schema) -> Any:
    """A text as the type that is wanted; one that is none stays a text, and is refused as that."""
    if schema["type"] in {"number", "integer"} and _NUMBER.fullmatch(text) and len(text) < 40:
        return int(text) if text.lstrip("-").isdigit() else float(text)
    if schema["type"] == "boolean":
        return {"true": True, "false": False}.get(text, text)
    return text


def _shown(value: Any) -> str:
    try:
        told = json.dumps(value, ensure_ascii=True)
    except (ValueError, RecursionError):
        told = str(type(value).__name__)
    return told if len(told) <= _LONGEST_SHOWN else f"{told[:_LONGEST_SHOWN]} …"


def _no_number(name: str) -> None:
    raise ValueError(f"{name} is no number")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len({name for name, _ in pairs}) != len(pairs):
        raise ValueError("a name stands twice in one object")
    return dict(pairs)


def _depth(value: Any) -> int:
    depth, level = 0, [value]
    while level and depth <= _DEEPEST:
        depth += 1
        level = [
            one
            for part in level
            if isinstance(part, (dict, list))
            for one in (part.values() if isinstance(part, dict) else part)
        ]
    return depth
