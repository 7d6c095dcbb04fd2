"""A walk over all values of a car document, each told once, under the place where it was written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from jounce.car.axles.axle import Axle
from jounce.car.file.fields import DirectionField, PointField, PointsField, QuantityField, TableField
from jounce.car.file.section import Section, form_of
from jounce.conventions.axes import SIDES

__all__ = ["WAYS_ALONG", "Leaf", "leaves", "path_words", "point_words"]

Path = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Leaf:
    """One value that was written once and stands in one place of the document or, mirrored, in several.

    Attributes:
        name: place in the file, ``front.pivots.ball_joint``
        paths: attributes that lead to it from the document; the left side comes first
        form: how it is read: ``QuantityField``, ``PointField``, …
        value: the value at the first of the paths

    """

    name: str
    paths: tuple[Path, ...]
    form: QuantityField | PointField | TableField | DirectionField
    value: Any


def leaves(document: Section) -> Iterator[Leaf]:
    """Every value of a document that is not text, in the order of its sections.

    Args:
        document: the car, or another document

    """
    found: dict[Path, Leaf] = {}
    for path, place, form, value in _walk(document, (), ()):
        known = found.get(place)
        paths = (*known.paths, path) if known else (path,)
        found[place] = Leaf(".".join(place), paths, form, known.value if known else value)
    yield from found.values()


def point_words(name: str, *, axle: bool = True) -> str:
    """What a point is called: its place in the file, as it is said.

    Args:
        name: its place in the file
        axle: whether to say of which axle it is

    >>> point_words("rear.pivots.link_1_inner")
    'link 1 inner, rear'
    """
    end, *words = name.split(".")
    said = " ".join(_word(word) for word in words if word != "pivots")
    return f"{said}, {end}" if axle else said


def path_words(path: str) -> str:
    """A number's place in a file in words.

    Args:
        path: its keys

    >>> path_words("front.pivots.ball_joint.z")
    'front ball joint, up and down'
    >>> path_words("change.rear.spring.rate")
    'new rear spring rate'
    >>> path_words("heights.front_left")
    'wheel to arch, front left'
    """
    steps = path.split(".")
    along = f", {WAYS_ALONG[steps[-1]]}" if steps[-1] in WAYS_ALONG else ""
    kept = [_word(step) for step in steps if step not in _UNSAID and step not in WAYS_ALONG]
    if kept[0] == "heights":
        kept[0] = "wheel to arch,"
    new = "new " if steps[0] == "change" else ""
    return f"{new}{' '.join(kept)}{along}"


def _word(step: str) -> str:
    return _SAID.get(step, step.replace("_", " "))


_SAID = {
    "panhard": "Panhard rod",
    "watt": "Watt linkage",
    **{f"{arm}_{end}": f"{arm} arm {end}" for arm in ("lower", "upper") for end in ("front", "rear")},
    **{f"{arm}_ball": f"{arm} ball joint" for arm in ("lower", "upper")},
}
WAYS_ALONG = {"x": "fore and aft", "y": "across", "z": "up and down"}
"""What a coordinate of a point is called."""
_UNSAID = {"change", "pivots", "value"}


def _walk(section: Section, path: Path, place: Path) -> Iterator[tuple[Path, Path, Any, Any]]:
    for name, form in _forms(type(section)).items():
        value = getattr(section, name)
        if value is None:
            continue
        if isinstance(form, PointsField):
            for number, point in enumerate(value, start=1):
                yield (*path, name, str(number)), (*place, name, str(number)), PointField(), point
            continue
        if isinstance(value, Section):
            places = _side_places(section, name, value) if isinstance(section, Axle) and name in SIDES else {}
            for below, below_place, below_form, below_value in _walk(value, (*path, name), (*place, name)):
                written = places.get(below[len(path) + 1 :][:2])
                rest = below[len(path) + 3 :]
                yield (below, (*place, *written, *rest) if written else below_place, below_form, below_value)
        elif form is not None:
            yield (*path, name), (*place, name), form, value


@cache
def _forms(model: type[Section]) -> dict[str, Any]:
    """How each field of a section is read, None for what is a text or a section."""
    kinds = (PointsField, QuantityField, PointField, TableField, DirectionField)
    return {
        name: next((form for kind in kinds if (form := form_of(field, kind))), None)
        for name, field in model.model_fields.items()
    }


def _side_places(axle: Axle, name: str, side: Section) -> dict[Path, Path]:
    """By section and key of a side, the place below the axle where it was written."""
    which = next(candidate for candidate in SIDES if candidate == name)
    return {
        (section, key): axle.place_of(which, section, key)
        for section in type(side).model_fields
        if isinstance(below := getattr(side, section), Section)
        for key in type(below).model_fields
    }
