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

__all__ = ["candidates", "refuse_unreadable"]

_BUMPS = (-40 * MM, -20 * MM, 20 * MM, 40 * MM)
_LOAD = 100.0  # [kg]
_STANDING_ALONE = ("caster", "kingpin", "damper-length", "spring-length")


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


def refuse_unreadable(document: CarDocument, place: ReadingPlace) -> None:
    """Refuse a place of an axle at which nothing can be read on a car; what is read of the whole car is not looked at.

    Args:
        document: the car
        place: where

    Raises:
        InputError: the axle has no such figure
        Impossible: its wheels do not reach that place
    """
    if place.axle is not None and place.kind.figures:
        figures = AxleFigures(document, place.axle)
        figures.value(figure_of(place, figures))


def _every(axle: AxleName) -> Iterator[ReadingPlace]:
    for what, kind in KINDS.items():
        if not kind.figures:
            continue
        side: SideName | None = "left" if kind.where == "wheel" else None
        if not kind.moved:
            yield ReadingPlace(what, axle, side, load=_LOAD if kind.weighted else 0.0)
        if kind.travels and what not in _STANDING_ALONE:
            for bump in _BUMPS[:: 3 if kind.moved else 1]:
                yield ReadingPlace(what, axle, side, bump=bump)


def _has(figures: AxleFigures, place: ReadingPlace) -> bool:
    try:
        figures.value(figure_of(place, figures))
    except (InputError, Impossible):
        return False
    return True
