"""The manual pages and the JSON Schema say what the reader does."""

from __future__ import annotations

import json
import re
import tomllib
from typing import Any

import pytest

from generate.car_keys import reference_tables
from jounce.car.axles.beam_panhard import BeamPanhardAxle
from jounce.car.axles.strut_torsion_bar import StrutTorsionBarAxle
from jounce.car.file.document import CarDocument
from jounce.car.file.schema import car_schema
from jounce.car.file.section import Section, section_in
from tests.car.conftest import PAGES

TEXT = "\n".join(page.read_text(encoding="utf-8") for page in PAGES.glob("*.md"))


def test_the_pages_have_every_section_once() -> None:
    blocks = re.findall(r"<!-- keys of ([\w.]+) -->", TEXT)

    assert sorted(blocks) == sorted(reference_tables())


SCHEMA = car_schema()


def keys_of(model: type[Section]) -> set[str]:
    """All keys of a section and of the sections below it that are no sections themselves."""
    found: set[str] = set()
    for name, field in model.model_fields.items():
        below = section_in(field)
        found |= keys_of(below) if below else {name}
    return found


def test_the_pages_have_every_key_of_the_models() -> None:
    """Counted from the models directly, not by way of the printed tables."""
    tabulated = set(re.findall(r"^\| `(\w+)` \|", TEXT, re.MULTILINE))

    assert tabulated == keys_of(CarDocument) | keys_of(StrutTorsionBarAxle) | keys_of(BeamPanhardAxle)


def test_every_field_says_what_it_is() -> None:
    def described(model: type[Section]) -> None:
        for name, field in model.model_fields.items():
            assert field.description, f"{model.__name__}.{name}"
            assert not field.description.endswith("."), f"{model.__name__}.{name}"
            if below := section_in(field):
                described(below)

    for model in (CarDocument, StrutTorsionBarAxle, BeamPanhardAxle):
        described(model)


def referred(schema: dict[str, Any]) -> dict[str, Any]:
    """What a reference leads to."""
    found: dict[str, Any] = SCHEMA["$defs"][schema["$ref"].removeprefix("#/$defs/")]
    return found


def fits(value: Any, schema: dict[str, Any]) -> bool:
    """Whether a value fits a schema: the few keywords that ours uses."""
    if "$ref" in schema:
        return fits(value, referred(schema))
    if "oneOf" in schema:
        return sum(fits(value, choice) for choice in schema["oneOf"]) == 1
    if "anyOf" in schema:
        return any(fits(value, choice) for choice in schema["anyOf"])
    kinds = {"object": dict, "array": list, "string": str, "boolean": bool, "integer": int, "number": (int, float)}
    named = schema.get("type", [])
    allowed = [named] if isinstance(named, str) else named
    if allowed and not any(isinstance(value, kinds[kind]) for kind in allowed):
        return False
    if isinstance(value, dict):
        known = schema.get("properties", {})
        closed = schema.get("additionalProperties", True) is False
        complete = set(schema.get("required", ())) <= value.keys() and (not closed or value.keys() <= known.keys())
        return complete and all(fits(entry, known.get(key, {})) for key, entry in value.items())
    if isinstance(value, list):
        columns = schema.get("prefixItems") or [schema["items"]] * len(value)
        length_fits = schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", len(value))
        return length_fits and len(value) == len(columns) and all(map(fits, value, columns))
    if isinstance(value, (int, float)):
        return bool(schema.get("minimum", value) <= value <= schema.get("maximum", value))
    return value in schema.get("enum", [value]) and value == schema.get("const", value)


@pytest.fixture(scope="module")
def written(car_text: str) -> dict[str, Any]:
    """The example as plain data, its date as a text."""
    written = tomllib.loads(car_text)
    written["measured"]["date"] = str(written["measured"]["date"])
    return written


def test_the_schema_accepts_the_example(written: dict[str, Any]) -> None:
    assert fits(written, car_schema())


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("front", "torsion_bar", "diameter"), 205),
        (("front", "torsion_bar", "diametre"), 20),
        (("front", "layout"), "beam-panhard"),
        (("front", "pivots", "ball_joint"), [1, 2]),
        (("rear", "beam", "turning_side"), "sideways"),
        (("rear", "right"), {"sprung": {}}),
        (("mass",), {}),
        (("front", "damper", "curve"), [[1, 2]]),
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(
    written: dict[str, Any], path: tuple[str, ...], value: object
) -> None:
    changed = json.loads(json.dumps(written))
    section = changed
    for key in path[:-1]:
        section = section[key]
    section[path[-1]] = value

    assert not fits(changed, car_schema())


def test_the_schema_accepts_keys_of_one_side(written: dict[str, Any]) -> None:
    changed = json.loads(json.dumps(written))
    changed["front"]["right"] = {"pivots": {"ball_joint": {"at": [1, -642, 191], "plus_minus": 1}}}

    assert fits(changed, car_schema())


def test_the_schema_tells_unit_and_range_of_a_number() -> None:
    strut = referred(SCHEMA["properties"]["front"]["oneOf"][0])
    diameter = referred(strut["properties"]["torsion_bar"])["properties"]["diameter"]

    assert diameter["description"] == "diameter of the bar between its splines"
    assert (diameter["x-unit"], diameter["x-accepted"], diameter["x-usual"]) == ("mm", [8, 60], [14, 32])
    assert json.loads(json.dumps(car_schema(), allow_nan=False)) == car_schema()
