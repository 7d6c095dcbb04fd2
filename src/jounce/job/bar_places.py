"""Where an added anti-roll bar is held, from things that can be touched in the bay."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from jounce.car.file.document import CarDocument
from jounce.conventions.units import Kind, show
from jounce.job.document import JobDocument

__all__ = ["bar_places"]

_SMALL = 5e-4  # a distance that is not told [m]


def bar_places(job: JobDocument, car: CarDocument, units: str) -> list[str]:
    """A sentence for each bar that is added: where its bushes sit and where its arms end, left side; the right is alike.

    Args:
        job: the change list
        car: the car as measured
        units: unit set to show
    """
    front: Any = car.front.left if hasattr(car.front, "left") else None
    rear: Any = car.rear.left if hasattr(car.rear, "left") else None
    return list(_places(job, front, rear, units))


def _places(job: JobDocument, front: Any, rear: Any, units: str) -> Iterator[str]:
    pivot = getattr(getattr(front, "pivots", None), "arm_front", None)
    added = job.change.front
    for name, own in (("front anti-roll bar", added.roll_bar), ("second front anti-roll bar", added.roll_bar_2)):
        if own is not None and pivot is not None:
            at, across = _from(own.bush, pivot, units), _across(own.bush, units)
            yield f"{name}: middle of its left bush on the body {at} the front pivot of the left lower arm, {across}"
    tube = getattr(getattr(rear, "pivots", None), "tube_end", None)
    bar = job.change.rear.roll_bar
    if bar is not None and tube is not None:
        at, across = _from(bar.bush, tube, units), _across(bar.bush, units)
        link = f"its left link goes up to the body {_across(bar.link_end, units)}"
        yield f"added rear anti-roll bar: clamped to the tube, its left bush {at} the tube's middle, {across}; {link}"


def _across(point: Any, units: str) -> str:
    return f"{show(abs(point.y), Kind.LENGTH, units)} from the middle of the car"


def _from(point: Any, other: Any, units: str) -> str:
    """How far ahead and how high a point lies from another, the car as it was measured."""
    told = []
    for way, words in ((point.x - other.x, ("ahead", "behind")), (point.z - other.z, ("above", "below"))):
        if abs(way) > _SMALL:
            told.append(f"{show(abs(way), Kind.LENGTH, units)} {words[way < 0]}")
    return " and ".join(told) or "at the height and place of"
