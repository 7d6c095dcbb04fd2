"""Where an added anti-roll bar is held, from things that can be touched in the bay."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from jounce.car.file.document import CarDocument
from jounce.conventions.axes import End
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
    return list(_places(job, car, units))


def _places(job: JobDocument, car: CarDocument, units: str) -> Iterator[str]:
    front, rear = job.change.front, job.change.rear
    bars = (
        ("front anti-roll bar", End.FRONT, front.roll_bar),
        ("second front anti-roll bar", End.FRONT, front.roll_bar_2),
        ("added rear anti-roll bar", End.REAR, rear.roll_bar),
    )
    for name, end, bar in bars:
        pivots: Any = getattr(getattr(car.axle(end), "left", None), "pivots", None)
        if bar is None or pivots is None:
            continue
        across = _across(bar.bush, units)
        tube = getattr(pivots, "tube_end", None)
        if tube is not None:
            link = f"its left link goes up to the body {_across(bar.link_end, units)}"
            at = _from(bar.bush, tube, units)
            yield f"{name}: clamped to the tube, its left bush {at} the tube's middle, {across}; {link}"
            continue
        arm = getattr(pivots, "arm_front", None) if end is End.FRONT else None
        at = _from(bar.bush, pivots.wheel_centre if arm is None else arm, units)
        mark = "the left wheel's centre" if arm is None else "the front pivot of the left lower arm"
        yield f"{name}: middle of its left bush on the body {at} {mark}, {across}"


def _across(point: Any, units: str) -> str:
    return f"{show(abs(point.y), Kind.LENGTH, units)} from the middle of the car"


def _from(point: Any, other: Any, units: str) -> str:
    """How far ahead and how high a point lies from another, the car as it was measured."""
    told = []
    for way, words in ((point.x - other.x, ("ahead", "behind")), (point.z - other.z, ("above", "below"))):
        if abs(way) > _SMALL:
            told.append(f"{show(abs(way), Kind.LENGTH, units)} {words[way < 0]}")
    return " and ".join(told) or "at the height and place of"
