"""The tables of keys in the manual pages of the car file, printed from the sections themselves."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from jounce.car.axles.axle import Axle
from jounce.car.axles.layout_sections import Bushes
from jounce.car.file.contents import AXLES
from jounce.car.file.document import CarDocument
from jounce.car.file.fields import DirectionField, Lengths, PointField, PointsField, QuantityField, TableField
from jounce.car.file.quantity import Measured
from jounce.car.file.section import Section, form_of, section_in
from jounce.car.parts import Bush
from jounce.car.parts.interfaces import AxleInterfaces
from jounce.conventions.axes import ENDS, SIDES, End
from jounce.conventions.units import unit_of

__all__ = ["reference_tables", "refreshed", "table_of_keys"]

_TABULATED = {End.FRONT: "strut-torsion-bar", End.REAR: "beam-panhard"}
"""Layouts whose keys the page shows in full; the others have the same parts and pages of their own."""

_HEAD = "| key | form | accepted | usual | default | meaning |\n| --- | --- | --- | --- | --- | --- |"
_BLOCK = re.compile(r"(<!-- keys of (?P<name>[\w.]+) -->\n).*?(<!-- end -->)", re.DOTALL)


def reference_tables() -> dict[str, str]:
    """A table of keys for every section of a car file, by the name of the section: ``front.torsion_bar``.

    Sections that belong to one side stand under their axle.
    """
    sections = {name: model for name, field in CarDocument.model_fields.items() if (model := section_in(field))}
    sections["interfaces"] = AxleInterfaces  # both ends alike: one table serves
    for end in ENDS:
        del sections[end]
        sections |= _axle_sections(end, AXLES[_TABULATED[end]])
    return {name: table_of_keys(model) for name, model in sections.items()}


def refreshed(page: str, tables: Mapping[str, str]) -> str:
    """A manual page with each block ``<!-- keys of … -->`` up to ``<!-- end -->`` printed anew.

    Args:
        page: the text of the page
        tables: what its blocks may hold, by name

    Raises:
        KeyError: a block names a table that does not exist
    """
    return _BLOCK.sub(lambda block: f"{block[1]}\n{tables[block['name']]}\n\n{block[3]}", page)


def _axle_sections(end: str, model: type[Axle]) -> dict[str, type[Section]]:
    found: dict[str, type[Section]] = {end: model}
    for owner in (model.SIDE_MODEL, model):
        for name, field in owner.model_fields.items():
            if name not in SIDES and (below := section_in(field)):
                found |= _nested(f"{end}.{name}", below)
    return found


def _nested(name: str, model: type[Section]) -> dict[str, type[Section]]:
    if issubclass(model, Bushes):  # all alike: one table serves every joint
        return {name: Bush}
    found = {name: model}
    for key, field in model.model_fields.items():
        if below := section_in(field):
            found |= _nested(f"{name}.{key}", below)
    return found


def table_of_keys(model: type[Section]) -> str:
    """The table of a section's own keys, in Markdown.

    Args:
        model: the section
    """
    rows = [_row(name, field) for name, field in model.model_fields.items() if section_in(field) is None]
    return "\n".join([_HEAD, *rows])


def _row(name: str, field: FieldInfo) -> str:
    quantity = form_of(field, QuantityField)
    accepted = _range(quantity.hard) if quantity else _limits(field)
    usual = _range(quantity.usual) if quantity and quantity.usual else ""
    cells = (f"`{name}`", _form(field), accepted, usual, _default(field, quantity), field.description or "")
    return f"| {' | '.join(cells)} |"


def _form(field: FieldInfo) -> str:
    if quantity := form_of(field, QuantityField):
        return quantity.unit if quantity.unit != "-" else "number"
    if form_of(field, PointField):
        return "point, mm"
    if form_of(field, PointsField):
        return "list of points, mm"
    if form_of(field, Lengths):
        return "mm, or a list"
    if form_of(field, DirectionField):
        return "direction"
    if table := form_of(field, TableField):
        return "rows of " + ", ".join(f"{name} {unit_of(kind).symbol}" for name, kind in table.columns)
    return _plain(field.annotation)


def _plain(annotation: Any) -> str:
    if get_origin(annotation) is Literal:
        return " or ".join(f'`"{choice}"`' for choice in get_args(annotation))
    choices = next((part for part in get_args(annotation) if get_origin(part) is Literal), None)
    if choices is not None:
        return _plain(choices)
    listed = next((part for part in (annotation, *get_args(annotation)) if get_origin(part) in {list, tuple}), None)
    if listed is not None:
        return "list of texts" if str in get_args(listed) else "list of numbers"
    words = {str: "text", bool: "true or false", int: "whole number", float: "number", Decimal: "number"}
    parts = (annotation, *get_args(annotation))
    candidates = [getattr(part, "__origin__", part) if get_origin(part) is Annotated else part for part in parts]
    candidates = [part for part in candidates if part is not type(None)]
    found = next((part for part in candidates if get_origin(part) is None), annotation)
    return words.get(getattr(found, "__origin__", found), getattr(found, "__name__", str(found)))


def _range(limits: tuple[float, float]) -> str:
    low, high = limits
    return f"{low:g} to {high:g}" if math.isfinite(high) else f"{low:g} or more"


def _limits(field: FieldInfo) -> str:
    low, high = (_bound(field, name) for name in ("ge", "le"))
    return f"{low:g} to {high:g}" if low is not None and high is not None else ""


def _bound(field: FieldInfo, name: str) -> float | None:
    found = (getattr(item, name, None) for item in _constraints(field))
    return next((bound for bound in found if bound is not None), None)


def _constraints(field: FieldInfo) -> list[Any]:
    inner = [item for part in get_args(field.annotation) for item in getattr(part, "__metadata__", ())]
    return [*field.metadata, *(limit for item in inner for limit in getattr(item, "metadata", ()))]


def _default(field: FieldInfo, quantity: QuantityField | None) -> str:
    if field.is_required():
        return "**required**"
    default = field.default
    if quantity and isinstance(default, Measured):
        return f"{quantity.shown(default.value):g}"
    if isinstance(default, tuple):
        return f"[{', '.join(f'{number:g}' for number in default)}]"
    if isinstance(default, int) and not isinstance(default, bool):
        return str(default)
    return f'`"{default}"`' if default else ""
