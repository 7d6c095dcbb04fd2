"""What a car's document says of what is to be measured: the value, and whether this car's or another one's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jounce.car.file.assumed import ASSUMED, is_assumed
from jounce.car.file.document import CarDocument
from jounce.car.file.quantity import Measured, MeasuredPoint
from jounce.car.file.walk import leaves
from jounce.conventions.units import Kind, to_display
from jounce.measuring.lever import bar_lever
from jounce.measuring.named_points import named_numbers
from jounce.measuring.walk import ENDS, PLACE_PARTS, steps_of

__all__ = ["Known", "chosen_of", "known_of", "musts_of", "point_shown", "progress_of", "walked"]


@dataclass(frozen=True, slots=True)
class Known:
    """What the document says of an item [SI]; ``measured`` is false for what was taken over from another car."""

    value: float
    plus_minus: float
    origin: str
    measured: bool


def known_of(document: CarDocument) -> dict[str, Known | MeasuredPoint]:
    """What a document says of every item, by the item's key.

    Args:
        document: the car
    """
    found: dict[str, Known | MeasuredPoint] = {}
    for leaf in leaves(document):
        if isinstance(leaf.value, Measured):
            found[leaf.name] = _known(leaf.value)
        elif isinstance(leaf.value, MeasuredPoint):
            found[leaf.name] = leaf.value
    for axle in ENDS:
        centre = found.get(f"{axle}.pivots.wheel_centre")
        if isinstance(centre, MeasuredPoint):
            found[f"{axle}.track"] = _part(2 * centre.y, centre, "track")
            if axle == "rear":
                found["wheelbase"] = _part(-centre.x, centre, "wheelbase")
        lever = bar_lever(document, axle)
        if lever is not None:
            points = {key: one for key, one in found.items() if isinstance(one, MeasuredPoint)}
            found[f"{axle}.lever"] = _part(lever.length(points), points[lever.pivots[0]], "lever")
        both = [found.get(f"mass.{axle}_{side}") for side in ("left", "right")]
        if all(isinstance(one, Known) and "axle" in one.origin for one in both):
            found[f"axle_load.{axle}"] = Known(
                sum(one.value for one in both if isinstance(one, Known)),
                sum(one.plus_minus for one in both if isinstance(one, Known)),
                "scales",
                measured=True,
            )
    for name, place in document.places.items():
        at, found[f"places.{name}.mass"] = place.at, _known(place.mass)
        for part, value in zip(PLACE_PARTS, (-at.x, at.y, at.z), strict=True):
            found[f"places.{name}.{part}"] = Known(value, at.plus_minus, at.origin, not is_assumed(at))
    for key, one in named_numbers(document):
        if isinstance(one, Measured):
            found[key] = _known(one)
        else:
            value, point = one
            found[key] = Known(value, point.plus_minus, point.origin, not is_assumed(point))
    for axle in ENDS:
        bar = getattr(getattr(document, axle).left, "torsion_bar", None)
        for key in ("splines_arm", "splines_anchor"):
            count = None if bar is None else getattr(bar, key)
            if count is not None:
                found[f"{axle}.torsion_bar.{key}"] = Known(float(count), 0.0, "counted", measured=True)
    return found


def _known(value: Measured) -> Known:
    told = bool(value.value or value.plus_minus or value.origin)
    measured = told and not is_assumed(value) and not value.origin.startswith("default")
    return Known(value.value, value.plus_minus, value.origin, measured)


def _part(value: float, point: MeasuredPoint, word: str) -> Known:
    """A length that stands in a point's coordinates; its origin is told beside the point's own."""
    told = next((one for one in point.origin.split("; ") if one.startswith(f"{word}: ")), "")
    if point.origin and ASSUMED not in point.origin and not told:
        return Known(value, point.plus_minus, point.origin, measured=True)
    return Known(value, point.plus_minus if told else 0.0, told.removeprefix(f"{word}: ") or point.origin, bool(told))


def progress_of(document: CarDocument) -> dict[str, tuple[int, int]]:
    """By the word of each step, how many of its numbers are measured and how many there are.

    Args:
        document: the car
    """
    known, told = known_of(document), {}
    for step in steps_of(document):
        counted = [item.key for item in step.items if not item.key.startswith("axle_load.") and not item.choices]
        done = sum(isinstance(one := known.get(key), Known) and one.measured for key in counted)
        points = [known[one.key] for one in step.points]
        done += sum(isinstance(one, MeasuredPoint) and not is_assumed(one) for one in points)
        told[step.word] = (done, len(counted) + len(step.points))
    return told


def musts_of(document: CarDocument) -> dict[str, tuple[int, int]]:
    """By the word of each step, how many of the numbers that must be measured are, and how many there are.

    Args:
        document: the car
    """
    known, told = known_of(document), {}
    for step in steps_of(document):
        musts = [known.get(item.key) for item in step.items if item.must]
        told[step.word] = (sum(isinstance(one, Known) and one.measured for one in musts), len(musts))
    return told


def chosen_of(document: CarDocument, key: str) -> str:
    """The word that a document has at a place; empty where it has none.

    Args:
        document: the car
        key: the place, of the left side
    """
    holder: Any = document
    for step in key.split("."):
        if isinstance(holder, Mapping):
            holder = holder.get(step)
            continue
        holder = getattr(holder, step, None) or getattr(getattr(holder, "left", None), step, None)
    return str(holder or "")


def walked(document: CarDocument) -> tuple[int, int]:
    """How many numbers of the walk are measured and how many there are, what only single checks ask for aside.

    Args:
        document: the car
    """
    progress = progress_of(document)
    pairs = [progress[step.word] for step in steps_of(document) if not step.optional]
    return sum(done for done, _ in pairs), sum(every for _, every in pairs)


def point_shown(point: MeasuredPoint, centre: MeasuredPoint, units: str) -> tuple[str, str, str]:
    """Forward of the axle's wheel centre, sideways, up: as typed into fields.

    Args:
        point: the point
        centre: the axle's wheel centre
        units: unit set of the page
    """
    numbers = (point.x - centre.x, point.y, point.z)
    return tuple(f"{round(to_display(n, Kind.LENGTH, units), 4) + 0.0:g}" for n in numbers)  # type: ignore[return-value]
