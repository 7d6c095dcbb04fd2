"""The inputs of a document, what error propagation has to vary, and the document with one of them varied."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from typing import Literal, TypeVar

from jounce.car.file.fields import QuantityField
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.section import Section
from jounce.car.file.walk import Leaf, leaves
from jounce.conventions.units import Kind

__all__ = ["InputRef", "all_inputs", "measured", "measured_inputs", "with_value"]

Coordinate = Literal["x", "y", "z"]
Copied = TypeVar("Copied", bound=Section)
COORDINATES: tuple[Coordinate, ...] = ("x", "y", "z")

# Their bands are not inputs of the mechanics: that of the toe diameter is already in the band of toe, and the band that
# points without their own share is in the points; a gap at full lock moves nothing.
NOT_VARIED = ("toe_diameter", "pivots_plus_minus", "full_lock_gap")
NOT_MECHANICS = ("interfaces",)
"""Sections that say whether a part fits and nothing about how the car moves."""


@dataclass(frozen=True, slots=True)
class InputRef:
    """One number of a document that carries a band.

    Attributes:
        path: its place in the file, with the coordinate of a point: ``front.pivots.ball_joint.z``
        value: the value as written [SI]; of a mirrored point, that of the left side
        plus_minus: its ± as stated, two standard deviations [SI]
        origin: where it comes from
        kind: what it measures
        targets: attributes that lead to it from the document, with the factor by which its value stands there
            (-1 for y of a mirrored point)
        coordinate: which coordinate of a point, None for a number

    """

    path: str
    value: float
    plus_minus: float
    origin: str
    kind: Kind
    targets: tuple[tuple[tuple[str, ...], float], ...]
    coordinate: Coordinate | None = None


def measured_inputs(document: Section) -> list[InputRef]:
    """Every number and every coordinate with a band, in the order of the document.

    Args:
        document: the car, or another document

    """
    return measured(all_inputs(document))


def measured(inputs: Sequence[InputRef]) -> list[InputRef]:
    """Those of some inputs that carry a band.

    Args:
        inputs: inputs of one document or several
    """
    return [ref for ref in inputs if ref.plus_minus > 0]


def all_inputs(document: Section) -> list[InputRef]:
    """Every number and every coordinate, with or without a band, in the order of the document.

    Args:
        document: the car, or another document

    """
    return [ref for leaf in leaves(document) for ref in _refs(leaf)]


def with_value(document: Copied, ref: InputRef, new_si_value: float) -> Copied:
    """The document with one input changed, on both sides where both share it.

    Nothing is checked again: the value is taken to lie within the band.

    Args:
        document: the car, or another document
        ref: the input, from :func:`measured_inputs` of this document
        new_si_value: its new value, as :attr:`InputRef.value` counts it [SI]

    """
    return reduce(
        lambda changed, target: _replaced(changed, target[0], ref.coordinate, target[1] * new_si_value),
        ref.targets,
        document,
    )


def _refs(leaf: Leaf) -> Sequence[InputRef]:
    value = leaf.value
    path = leaf.paths[0]
    if not isinstance(value, (Measured, MeasuredPoint)) or path[-1] in NOT_VARIED or path[0] in NOT_MECHANICS:
        return ()
    if isinstance(value, Measured):
        if not isinstance(leaf.form, QuantityField):
            return ()
        targets = tuple((path, 1.0) for path in leaf.paths)
        return (InputRef(leaf.name, value.value, value.plus_minus, value.origin, leaf.form.kind, targets),)
    return tuple(_coordinate(leaf, value, coordinate) for coordinate in COORDINATES)


def _coordinate(leaf: Leaf, point: MeasuredPoint, coordinate: Coordinate) -> InputRef:
    # The document says where it is mirrored: "right" in a path of a value that was written for both sides.
    shared = "right" not in leaf.name.split(".")
    targets = tuple((path, -1.0 if coordinate == "y" and shared and "right" in path else 1.0) for path in leaf.paths)
    value = getattr(point, coordinate) * targets[0][1]
    return InputRef(
        f"{leaf.name}.{coordinate}", value, point.plus_minus, point.origin, Kind.LENGTH, targets, coordinate
    )


def _replaced(section: Copied, path: tuple[str, ...], coordinate: Coordinate | None, value: float) -> Copied:
    """A copy of a section with one value below it changed."""
    name, *rest = path
    below = getattr(section, name)
    changed: Section | Measured | MeasuredPoint | tuple[MeasuredPoint, ...]
    if isinstance(below, tuple) and coordinate is not None:
        number = int(rest[0]) - 1
        moved = replace(below[number], **{coordinate: value})
        changed = (*below[:number], moved, *below[number + 1 :])
    elif rest:
        changed = _replaced(below, tuple(rest), coordinate, value)
    elif coordinate is None:
        changed = replace(below, value=value)
    else:
        changed = replace(below, **{coordinate: value})
    return section.model_copy(update={name: changed})
