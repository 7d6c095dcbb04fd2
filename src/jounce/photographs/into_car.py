"""Pivots by photographs beside those of the car file, and a new car file with them; what the tape said stays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jounce.car.file.assumed import ASSUMED
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
_FAR = 0.025  # m from where the file has a point that somebody measured: a name may be wrong
_NEARER = 4.0  # times nearer to what else it may be


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
    return _named_wrongly(tuple(_beside(pivot, refs) for pivot in pivots), refs)


def _named_wrongly(beside: tuple[BesideTape, ...], refs: dict[str, InputRef]) -> tuple[BesideTape, ...]:
    """The same; points that must carry another one's name, by where the file has both, are not to be used."""
    known = [one for one in beside if not one.origin.startswith(ASSUMED)]
    off = [float(np.linalg.norm(one.pivot.place - one.before)) for one in known]
    round_off = [float(np.linalg.norm(one.pivot.place * [-1, 1, 1] - one.before)) for one in known]
    if max(off, default=0.0) > _FAR and _NEARER * np.hypot.reduce(round_off) < np.hypot.reduce(off):
        why = "x runs the other way than in the car file: left and right were changed over for every tile"
        return tuple(_doubted(one, why) for one in beside)
    places = {
        path: np.array([refs[f"{path}.{name}"].value for name in COORDINATES])
        for path in dict.fromkeys(one.rpartition(".")[0] for one in refs)
        if ".pivots." in path and all(f"{path}.{name}" in refs for name in COORDINATES)
    }
    return tuple(_as_another(one, places) for one in beside)


def _as_another(one: BesideTape, places: dict[str, Array]) -> BesideTape:
    """A point, not to be used where it lies far from its own place in the file and close to another one's."""
    off = float(np.linalg.norm(one.pivot.place - one.before))
    axle = one.pivot.point.partition(".")[0]
    others = {
        point: float(np.linalg.norm(one.pivot.place - place))
        for point, place in places.items()
        if point != one.pivot.point and point.startswith(f"{axle}.")
    }
    if off <= _FAR or not others or one.origin.startswith(ASSUMED):
        return one
    nearest = min(others, key=lambda point: others[point])
    if _NEARER * others[nearest] > off:
        return one
    return _doubted(
        one,
        f"it lies {1e3 * off:.0f} mm from its place in the car file and {1e3 * others[nearest]:.0f} mm from that of "
        f"{nearest}: look whether its tile is named right",
    )


def _doubted(one: BesideTape, why: str) -> BesideTape:
    before = one.pivot.why_not
    return replace(one, pivot=replace(one.pivot, why_not=f"{before}; {why}" if before else why))


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
