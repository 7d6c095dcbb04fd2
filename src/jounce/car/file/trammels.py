"""Distances measured between two points, against what their coordinates say."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jounce.car.file.contents import CarContents
from jounce.car.file.quantity import MeasuredPoint, suggestion
from jounce.car.file.remark import Remark, in_words
from jounce.car.file.section import Section
from jounce.car.file.usual import USUAL
from jounce.conventions.axes import ENDS, SIDES
from jounce.conventions.errors import InputError
from jounce.conventions.units import Kind, show

__all__ = ["trammel_problems", "trammel_remarks"]


def trammel_problems(document: CarContents) -> list[InputError]:
    """Names of points that the car has not.

    Args:
        document: the car

    """
    if not document.trammel:
        return []
    known = _points(document)
    return [
        InputError(f'"{word}" is no point of this car', todo=suggestion(word, known), place=f"trammel.{name}.between")
        for name, trammel in document.trammel.items()
        for word in trammel.between
        if word not in known
    ]


def trammel_remarks(document: CarContents) -> Iterator[Remark]:
    """Remarks on distances that differ from what the coordinates of their ends say by more than both are sure of.

    Args:
        document: the car

    """
    if not document.trammel:
        return
    known = _points(document)
    for name, trammel in document.trammel.items():
        (first, one), (second, other) = (known[word] for word in trammel.between)
        measured, by_points = trammel.length, one.distance(other)
        sure = math.hypot(measured.plus_minus, one.plus_minus, other.plus_minus)
        if abs(measured.value - by_points) > max(sure, USUAL["trammel"].high):
            said = f"{in_words(trammel.between[0])} to {in_words(trammel.between[1])}"
            yield Remark(
                (f"trammel.{name}.length", first, second),
                f"{said}: {show(measured.value, Kind.LENGTH)} measured between them, and {show(by_points, Kind.LENGTH)} by "
                "their coordinates, contradict each other. Measure the distance and both points again.",
                contradicts=True,
            )


def _points(document: CarContents) -> dict[str, tuple[str, MeasuredPoint]]:
    """Every point by the name that a trammel uses, with its place in the file."""
    found = {}
    for end in ENDS:
        axle = document.axle(end)
        for side in SIDES:
            pivots = axle.side(side).pivots
            for key in type(pivots).model_fields:
                if (point := getattr(pivots, key)) is not None:
                    found[f"{end}.{side}.{key}"] = (document.place_of(end, side, "pivots", key), point)
        for section in type(axle).model_fields:
            part = getattr(axle, section)
            if section in SIDES or not isinstance(part, Section):
                continue
            for key in type(part).model_fields:
                if isinstance(point := getattr(part, key), MeasuredPoint):
                    found[f"{end}.{section}.{key}"] = (f"{end}.{section}.{key}", point)
    return found
