"""Readings that might be taken next on a car: every kind that its axles have, at the usual places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jounce.car.file.document import CarDocument
from jounce.car.mechanics.model import AxleName
from jounce.conventions.errors import Impossible, InputError
from jounce.conventions.units import MM
from jounce.fit.axle_figures import AxleFigures
from jounce.fit.car_values import figure_of
from jounce.fit.kinds import KINDS
from jounce.fit.readings import ReadingPlace
from jounce.layouts.naming import SideName

__all__ = ["candidates"]

_BUMPS = (-40 * MM, -20 * MM, 20 * MM, 40 * MM)
_LOAD = 100.0  # [kg]
_CHANGES_ALONE = ("outward", "rearward", "arm-angle")  # nothing, where the wheel stands
_STANDING_ALONE = ("caster", "kingpin", "damper-length", "spring-length")
_FAR = {"outward", "rearward", "arm-angle"}


def candidates(document: CarDocument, axles: Sequence[AxleName]) -> tuple[ReadingPlace, ...]:
    """Places at which something might be read, those only that the car has.

    What both wheels of an axle tell alike is named of the left one. What is weighed or stands with loads aboard, and
    lengths between pivots, are not among them.

    Args:
        document: the car
        axles: which axles
    """
    found = []
    for axle in axles:
        figures = AxleFigures(document, axle)
        found += [place for place in _every(axle) if _has(figures, place)]
    return tuple(found)


def _every(axle: AxleName) -> Iterator[ReadingPlace]:
    for what, kind in KINDS.items():
        if not kind.figures:
            continue
        side: SideName | None = "left" if kind.where == "wheel" else None
        if what not in _CHANGES_ALONE:
            yield ReadingPlace(what, axle, side, load=_LOAD if kind.weighted else 0.0)
        if kind.travels and what not in _STANDING_ALONE:
            for bump in _BUMPS[:: 3 if what in _FAR else 1]:
                yield ReadingPlace(what, axle, side, bump=bump)


def _has(figures: AxleFigures, place: ReadingPlace) -> bool:
    try:
        figures.value(figure_of(place, figures))
    except (InputError, Impossible):
        return False
    return True
