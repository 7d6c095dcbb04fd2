"""Numbers of the walk round a car that may be measured for an answer's sake: how well, and in how many minutes.

What is looked up or guessed is not among them, but for the height of the centre of gravity, which the weighing of a lifted
car tells. Minutes are common practice, no source; what has to come out of the car first takes an hour.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import COORDINATES, all_inputs
from jounce.car.file.walk import path_words
from jounce.conventions.units import MM, read
from jounce.fit.planning import FileNumber
from jounce.measuring.walk import Step, steps_of

__all__ = ["file_numbers"]

_MINUTES: Mapping[str, float] = {"tape": 5, "angle gauge": 8, "calliper": 10, "counted": 10}
_POINT = (1.5 * MM, 5.0)
"""± and minutes of one coordinate of a pivot by tape and plumb line."""
_COMES_OUT = ("torsion_bar", "free_length", "closed_length", "open_length")
_OUT = 60.0
_LIFTED = {"mass.centre_of_gravity_height": (20 * MM, 45.0, "by weighing the car with one axle lifted")}
_READ_OTHERWISE = ("heights.", "mass.front_", "mass.rear_")
"""What the readings of a fit have already."""


def file_numbers(document: CarDocument) -> Iterator[FileNumber]:
    """The numbers of a car's file with a ± or without that may be measured, in the order of the walk.

    Args:
        document: the car
    """
    known = {one.path for one in all_inputs(document)}
    for step in steps_of(document):
        yield from _items(step, known)
        for point in step.points:
            for way in COORDINATES:
                path = f"{point.key}.{way}"
                if path in known:
                    yield FileNumber(path, path_words(path), point.how or "tape and plumb line", *_POINT)


def _items(step: Step, known: set[str]) -> Iterator[FileNumber]:
    for item in step.items:
        if item.key not in known or item.kind is None or item.key.startswith(_READ_OTHERWISE):
            continue
        axle = item.key.partition(".")[0]
        label = item.label if axle in item.label or axle not in ("front", "rear") else f"{axle} {item.label}"
        if item.key in _LIFTED:
            plus_minus, minutes, said = _LIFTED[item.key]
            yield FileNumber(item.key, label, said, plus_minus, minutes)
        elif item.tool in _MINUTES and item.usual:
            out = any(part in item.key for part in _COMES_OUT)
            minutes = _OUT if out else _MINUTES[item.tool]
            yield FileNumber(item.key, label, item.how, read(item.usual, item.kind), minutes)
