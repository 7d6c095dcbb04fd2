"""Which parts of the shelf make a part fit that does not fit a car by itself: a coil with its perch, and the like."""

from __future__ import annotations

from collections.abc import Iterable

from jounce.car.file.document import CarDocument
from jounce.conventions.axes import End
from jounce.shelf.fit.reason import FitVerdict
from jounce.shelf.fit.to_car import fit
from jounce.shelf.part import Part

__all__ = ["companions"]

_REPLACES = {
    "coil": ("perch",),
    "damper": ("top_plate",),
    "top_plate": ("damper",),
    "leaf": ("shackle",),
    "shackle": ("leaf",),
}
"""By kind, the kinds of parts that replace what it touches of the car."""


def companions(part: Part, car: CarDocument, end: End, others: Iterable[Part]) -> tuple[Part, ...]:
    """Parts with each of which the part fits an axle, both of them without an unknown.

    Args:
        part: the part
        car: the car
        end: the axle
        others: the parts to choose from
    """
    kinds = _REPLACES.get(part.KIND, ())
    candidates = (other for other in others if other.KIND in kinds)
    return tuple(other for other in candidates if _together(part, other, car, end))


def _together(part: Part, other: Part, car: CarDocument, end: End) -> bool:
    pairs = ((part, other), (other, part))
    return all(fit(one, car, end, (beside,)).verdict is FitVerdict.FITS for one, beside in pairs)
