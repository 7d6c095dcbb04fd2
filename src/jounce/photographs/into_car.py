"""Pivots by photographs beside those of the car file, and a new car file with them; what the tape said stays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import COORDINATES, InputRef, all_inputs
from jounce.car.file.quantity import suggestion
from jounce.car.file.reading import parse_car
from jounce.car.file.rewriting import rewritten
from jounce.conventions.errors import Impossible, InputError
from jounce.numerics.arrays import Array
from jounce.photographs.car_axes import CarPivot

__all__ = ["BY_PHOTOGRAPHS", "BesideTape", "beside_tape", "with_photographed"]

BY_PHOTOGRAPHS = "photographs"
"""How the origin of a pivot that was photographed begins."""


@dataclass(frozen=True, slots=True)
class BesideTape:
    """A pivot by photographs beside what the car file has.

    Attributes:
        pivot: by photographs
        before: by the car file, shape (3,) [m]
        before_plus_minus: its ± [m]; 0 where none was stated
        origin: where that comes from

    """

    pivot: CarPivot
    before: Array
    before_plus_minus: float
    origin: str

    @property
    def in_bands(self) -> float:
        """Largest difference of a coordinate, in units of both ± together [-]; infinity where neither has one."""
        together = float(np.hypot(self.before_plus_minus, self.pivot.plus_minus))
        largest = float(np.abs(self.pivot.place - self.before).max())
        return largest / together if together > 0 else float("inf")


def beside_tape(document: CarDocument, pivots: Sequence[CarPivot]) -> tuple[BesideTape, ...]:
    """Each pivot beside the same one of the car file.

    Args:
        document: the car
        pivots: by photographs

    Raises:
        InputError: the car has no such point
    """
    refs = {one.path: one for one in all_inputs(document)}
    return tuple(_beside(pivot, refs) for pivot in pivots)


def _beside(pivot: CarPivot, refs: dict[str, InputRef]) -> BesideTape:
    mine = [refs.get(f"{pivot.point}.{name}") for name in COORDINATES]
    known = [one for one in mine if one is not None]
    if len(known) != len(COORDINATES):
        points = sorted({path.rpartition(".")[0] for path, one in refs.items() if one.coordinate is not None})
        raise InputError(
            "The car has no such point", found=f'"{pivot.point}"', todo=suggestion(pivot.point, points), place="point"
        )
    return BesideTape(pivot, np.array([one.value for one in known]), known[0].plus_minus, known[0].origin)


def with_photographed(text: str, beside: Sequence[BesideTape], photos: int, date: str) -> str:
    """The text of a car file with the pivots that may be trusted; the rest stays as it is.

    Args:
        text: the car file
        beside: pivots beside those of the file
        photos: how many photographs were used
        date: when they were taken; "" where it is not told

    Raises:
        Impossible: no pivot may be trusted
        InputError: a point stands in the file in a form that cannot be rewritten
    """
    good = [one for one in beside if not one.pivot.why_not]
    if not good:
        raise Impossible("No pivot is known well enough to be taken over: see what each of them lacks.")
    when = f"{BY_PHOTOGRAPHS}, {date}, {photos} of them" if date else f"{BY_PHOTOGRAPHS}, {photos} of them"
    changes: dict[str, object] = {}
    for one in good:
        old = ", ".join(f"{1e3 * value:.6g}" for value in one.before)
        origin = f": {one.origin}" if one.origin else ""
        changes[one.pivot.point] = {
            "at": [round(1e3 * float(value), 2) + 0.0 for value in one.pivot.place],
            "plus_minus": f"{1e3 * one.pivot.plus_minus:.2g} mm",
            "from": f"{when}; before [{old}] ± {1e3 * one.before_plus_minus:.3g} mm{origin}",
        }
    new = rewritten(text, changes)
    told = {one.path: one.value for one in all_inputs(parse_car(new, "the car with photographed pivots"))}
    for one in good:
        after = [told.get(f"{one.pivot.point}.{name}", np.inf) for name in COORDINATES]
        if np.abs(np.array(after) - one.pivot.place).max() > 1e-5:
            raise InputError(
                "This point stands in the car file in a form that cannot be rewritten",
                place=one.pivot.point,
                todo="Write it as a plain point, and take it over again.",
            )
    return new
