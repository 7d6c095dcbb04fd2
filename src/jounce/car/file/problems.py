"""What the validation of a car document finds, in the words of the trade, each with its place in the file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from jounce.car.axles.axle import Axle
from jounce.car.file.contents import AXLES
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import suggestion
from jounce.car.file.section import Section, section_in
from jounce.car.file.toml_lines import line_of
from jounce.conventions.axes import ENDS, SIDES
from jounce.conventions.errors import InputError

__all__ = ["problems_of"]

Place = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Words:
    """How a problem of form is told; names in braces are filled in."""

    message: str
    allowed: str = ""
    todo: str = ""


_SECTION = _Words("This is a section with keys of its own", todo="Write it as [{key}].")

# By how the validation library's name of the problem starts.
_WORDS: dict[str, _Words] = {
    "model_": _SECTION,
    "dict_": _SECTION,
    "tuple_": _Words("This is a list", todo='Write it in brackets: ["…", "…"].'),
    "string_type": _Words("This is a text", todo="Put it in quotation marks."),
    "string_too_short": _Words("The text is empty", todo="Fill it in."),
    "literal_error": _Words("This is not one of the choices", allowed="{expected}"),
    "bool_": _Words("This is a yes or no", allowed="true, false"),
    "int_": _Words("This is a whole number", todo="Give it without a unit."),
    "greater_than_equal": _Words("The number is too small", allowed="{ge} or more"),
    "less_than_equal": _Words("The number is too large", allowed="up to {le}"),
    "date_": _Words("This is a date", allowed="2026-03-02 (year-month-day)"),
}


def problems_of(
    error: ValidationError,
    written: Mapping[str, Any],
    lines: Mapping[tuple[str, ...], int],
    root: type[Section] = CarDocument,
) -> list[InputError]:
    """The problems that a validation found, each once, in the order in which they stand in the file.

    Args:
        error: what the validation raised
        written: the file as read
        lines: line of each key, from :func:`jounce.car.file.toml_lines.lines_of_keys`
        root: the model of the whole file
    """
    found: dict[tuple[Place, str], InputError] = {}
    for details in error.errors(include_url=False):
        for problem in _told(details, root):
            location = tuple(str(part) for part in details["loc"])
            place = _place(location + _below(problem), written)
            found.setdefault((place, problem.message), problem)
            problem.place, problem.line = _shown(place, lines), line_of(place, lines)
    order = sorted(found, key=lambda key: line_of(key[0], lines) or 0)
    return [found[key] for key in order]


def _below(problem: InputError) -> Place:
    return tuple(problem.place.split(".")) if problem.place else ()


def _shown(place: Place, lines: Mapping[tuple[str, ...], int]) -> str:
    name = ".".join(place)
    number = line_of(place, lines)
    return f"{name} (line {number})" if number else name


def _place(location: Place, written: Mapping[str, Any]) -> Place:
    """Where in the file a place in the document was written: without layout names, and with sides only as written."""
    end, *below = location or ("",)
    if end not in ENDS or not below or below[0] not in AXLES:
        return location
    layout, *rest = below
    if len(rest) < 2 or rest[0] not in SIDES:
        return (end, *rest)
    places = AXLES[layout].prepare(written[end]).places
    side, section, *keys = rest
    around = places.get((side, section), (section,))
    if not keys:
        return (end, *around)
    key, *deeper = keys
    return (end, *places.get((side, section, key), (*around, key)), *deeper)


def _told(details: ErrorDetails, root: type[Section]) -> list[InputError]:
    context = details.get("ctx", {})
    if details["type"] == "refused":
        return list(context["problems"])
    location = tuple(str(part) for part in details["loc"])
    return [_plain(details["type"], location, details["input"], context, details["msg"], root)]


def _plain(
    kind: str, location: Place, found: object, context: Mapping[str, Any], message: str, root: type[Section]
) -> InputError:
    """One problem of form, in plain words."""
    key = location[-1] if location else ""
    match kind:
        case "missing":
            field = _field_at(location, root)
            return InputError(f'"{key}" is missing', todo=f"Add it: {field.description}." if field else "Add it.")
        case "extra_forbidden":
            return InputError(f'"{key}" is not known here', todo=suggestion(key, _known_at(location[:-1], root)))
        case "union_tag_not_found":
            return InputError('"layout" is missing', allowed=_quoted(AXLES), todo="Say which kind of axle it is.")
        case "union_tag_invalid":
            layout, todo = str(context["tag"]), suggestion(str(context["tag"]), AXLES)
            return InputError("This layout is not known", found=f'"{layout}"', todo=todo, place="layout")
    words = next((words for start, words in _WORDS.items() if kind.startswith(start)), _Words(message))
    values = {"key": key} | dict(context)
    return InputError(
        words.message, found=_short(found), allowed=words.allowed.format(**values), todo=words.todo.format(**values)
    )


def _short(found: object, most: int = 60) -> str:
    text = str(found).lower() if isinstance(found, bool) else repr(found)
    return text if len(text) <= most else text[: most - 1] + "…"


def _quoted(names: Mapping[str, object]) -> str:
    return ", ".join(f'"{name}"' for name in names)


def _section_at(location: Place, root: type[Section]) -> type[Section] | None:
    section: type[Section] | None = root
    for part in location:
        if part in AXLES:
            section = AXLES[part]
            continue
        if section is None or (field := section.field_of(part)) is None:
            return None
        section = section_in(field)
    return section


def _field_at(location: Place, root: type[Section]) -> FieldInfo | None:
    section = _section_at(location[:-1], root)
    return section.field_of(location[-1]) if section else None


def _known_at(location: Place, root: type[Section]) -> set[str]:
    section = _section_at(location, root)
    if section is None:
        return set()
    known = set(section.model_fields)
    return known | set(section.SIDE_MODEL.model_fields) if issubclass(section, Axle) else known
