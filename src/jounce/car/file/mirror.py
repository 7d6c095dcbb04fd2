"""One side written, two sides read.

A section at axle level describes the left side; the right side is its mirror image. A section below ``left`` or
``right`` replaces single keys for that side, in true coordinates. This module turns the sections as written into both
sides as meant, and remembers from which place in the file each key of a side came.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from jounce.car.file.quantity import Measured, PointEntry, read_measured
from jounce.car.file.section import Section, section_in
from jounce.conventions.axes import SIDES, Side
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind

__all__ = ["BothSides", "Place", "both_sides", "points_wrapped"]

Place = tuple[str, ...]
"""Where a key stands, below its axle: ``("right", "pivots", "ball_joint")`` or ``("pivots", "ball_joint")``."""


@dataclass(slots=True)
class BothSides:
    """The sections of both sides, ready to be validated, with the place in the file of each key.

    Attributes:
        sides: by side, the sections as meant for that side
        places: by (side, section, key), the place in the file below the axle

    """

    sides: dict[Side, dict[str, Any]] = field(default_factory=dict)
    places: dict[Place, Place] = field(default_factory=dict)

    def share(self, side: Side, section: str, key: str, source: Place) -> None:
        """Give a key that was not written the entry of another key of the same side.

        Args:
            side: the side
            section: section of the key, which must be there
            key: the key that was not written
            source: section and key of the entry to share

        """
        here, there = self.sides[side].get(section), self.sides[side].get(source[0])
        if isinstance(here, dict) and isinstance(there, dict) and key not in here and source[1] in there:
            here[key] = there[source[1]]
            self.places[side, section, key] = self.places[side, *source]


def both_sides(written: Mapping[str, Any], side_model: type[Section]) -> BothSides:
    """Make both sides from the sections of an axle as written.

    Args:
        written: the axle's part of the file
        side_model: model of one side, whose fields are its sections

    Returns:
        Both sides; what is not even a section is passed on as it is, for the validation to refuse

    """
    result = BothSides()
    quality = _quality(written)
    for side in SIDES:
        result.sides[side] = {}
        overrides = written.get(side, {})
        overrides = overrides if isinstance(overrides, dict) else {}
        for name, model_field in side_model.model_fields.items():
            model = section_in(model_field)
            if model is None or not (name in written or name in overrides):
                continue
            result.sides[side][name] = _merged(
                result, side, name, model, (written.get(name), overrides.get(name)), quality
            )
        for name in overrides.keys() - side_model.model_fields.keys():
            result.sides[side][name] = overrides[name]
            result.places[side, name] = (side, name)
    return result


def points_wrapped(section: object, model: type[Section], written: Mapping[str, Any]) -> object:
    """A section that is not mirrored, its points completed with the axle's ``pivots_plus_minus`` and ``pivots_from``.

    Args:
        section: the section as written
        model: model of the section
        written: the axle's part of the file

    """
    if not isinstance(section, dict):
        return section
    quality = _quality(written)
    keys = model.point_keys()
    return {key: PointEntry(entry, **quality) if key in keys else entry for key, entry in section.items()}


def _merged(
    result: BothSides,
    side: Side,
    name: str,
    model: type[Section],
    parts: tuple[object, object],
    quality: dict[str, Any],
) -> Any:
    """One section of one side, from what is written for both sides and what replaces it on this one."""
    shared, override = parts
    result.places[side, name] = (name,) if shared is not None else (side, name)
    for part in parts:
        if part is not None and not isinstance(part, dict):
            result.places[side, name] = (name,) if part is shared else (side, name)
            return part
    merged: dict[str, Any] = {}
    points = model.point_keys()
    for part, place in ((shared, (name,)), (override, (side, name))):
        for key, entry in (part or {}).items():  # type: ignore[attr-defined]  # no dict was returned above
            merged[key] = PointEntry(entry, side, part is shared, **quality) if key in points else entry
            result.places[side, name, key] = (*place, key)
    return merged


def _quality(written: Mapping[str, Any]) -> dict[str, Any]:
    """What the axle says for points that say nothing; an entry that cannot be read is refused where it stands."""
    origin = written.get("pivots_from", "")
    try:
        band = read_measured(written.get("pivots_plus_minus", 0.0), Kind.LENGTH).value
    except InputError:
        band = 0.0
    return {"plus_minus": Measured(max(band, 0.0)), "origin": origin if isinstance(origin, str) else ""}
