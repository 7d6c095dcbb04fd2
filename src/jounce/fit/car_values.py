"""What a car's numbers say that readings and answers should be, with exact slopes by every unknown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace
from functools import cached_property, reduce

import numpy as np

from jounce.behaviour.bands import reaches
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import COORDINATES, InputRef, all_inputs, with_value
from jounce.car.file.quantity import suggestion
from jounce.car.file.variants import varied
from jounce.car.mechanics.model import AxleName
from jounce.conventions.errors import InputError, at
from jounce.fit.axle_figures import AxleFigure, AxleFigures
from jounce.fit.least_squares import SeenValues
from jounce.fit.readings import ReadingPlace
from jounce.fit.whole_car import CarOfUnknowns, WholeCar
from jounce.numerics.arrays import Array
from jounce.numerics.complex_step import STEP

__all__ = ["CarValues", "at_values", "figure_of"]


def at_values(document: CarDocument, inputs: Sequence[InputRef], values: Array) -> CarDocument:
    """The document with some numbers changed; variants where the values have them, shape (inputs,) or (inputs, variants).

    Args:
        document: the car
        inputs: its numbers that change
        values: of each [SI]
    """
    changed = [value if np.ndim(value) else float(value) for value in values]
    return reduce(lambda one, pair: with_value(one, pair[0], pair[1]), zip(inputs, changed, strict=True), document)


def figure_of(place: ReadingPlace, axle: AxleFigures) -> AxleFigure:
    """The figure of an axle that is read at a place.

    Args:
        place: where; of one axle
        axle: that axle

    Raises:
        InputError: the axle has no such figure
    """
    names = place.kind.figures
    name = next((name for name in names if len(names) == 1 or axle.has(name)), names[0])
    return AxleFigure(axle.axle, name, place.side, place.bump, place.load)


@dataclass(frozen=True, slots=True)
class CarValues:
    """The model of a fit: what is told of the car for given unknowns.

    Attributes:
        document: the car as its file says
        inputs: the unknowns
        asked: places of readings, and figures

    """

    document: CarDocument
    inputs: Sequence[InputRef]
    asked: Sequence[ReadingPlace | AxleFigure]

    def __call__(self, values: Array) -> SeenValues:
        """All that is asked for, and its slopes.

        Args:
            values: of the unknowns, shape (unknowns,) [SI]

        Raises:
            InputError: an axle has not what is asked for
            Impossible: the car cannot be with these numbers
        """
        car = at_values(self.document, self.inputs, values)
        inputs = [replace(one, value=float(value)) for one, value in zip(self.inputs, values, strict=True)]
        told = _Told(car, inputs)
        rows = [_placed(told, one) for one in self.asked]
        slopes = np.array([slope for _, slope in rows]).reshape(len(rows), len(inputs))
        return SeenValues(np.array([value for value, _ in rows]), slopes)


def _placed(told: _Told, asked: ReadingPlace | AxleFigure) -> tuple[float, Array]:
    """A value, its errors told with where it is read."""
    with at(asked.words()) if isinstance(asked, ReadingPlace) else nullcontext():
        return told.value(asked)


class _Told:
    """What one car tells; axles and equilibria are worked out when they are asked for, and kept."""

    def __init__(self, car: CarDocument, inputs: Sequence[InputRef]) -> None:
        self.car, self.inputs = car, inputs
        self._axles: dict[AxleName, tuple[AxleFigures, AxleFigures, list[int]]] = {}
        self._points: Mapping[str, float] | None = None

    def value(self, asked: ReadingPlace | AxleFigure) -> tuple[float, Array]:
        """A value with its slopes, shape (unknowns,)."""
        if isinstance(asked, AxleFigure):
            return self._figure(asked)
        if asked.points:
            return self._length(asked.points)
        if asked.kind.where == "car":
            return self._whole_car.roll_gradient(asked.aboard)
        if asked.axle is None:
            raise ValueError("a reading is of an axle or between two points")
        if asked.what in ("height", "scale"):
            return self._of_whole_car(asked)
        return self._figure(figure_of(asked, self._axle(asked.axle)[0]))

    def _figure(self, asked: AxleFigure) -> tuple[float, Array]:
        still, perturbed, own = self._axle(asked.axle)
        slopes = np.zeros(len(self.inputs))
        if own:
            found = perturbed.value(asked)
            slopes[own] = np.broadcast_to(np.imag(found) / STEP, len(own))
        return float(np.real(still.value(asked))[0]), slopes

    def _axle(self, axle: AxleName) -> tuple[AxleFigures, AxleFigures, list[int]]:
        if axle not in self._axles:
            own = [k for k, one in enumerate(self.inputs) if reaches(one, axle)]
            still = AxleFigures(self.car, axle)
            inputs = [self.inputs[k] for k in own]
            changed = varied(self.car, inputs, np.full(len(own), 1j * STEP)) if own else self.car
            self._axles[axle] = (still, AxleFigures(changed, axle, still), own)
        return self._axles[axle]

    @cached_property
    def _whole_car(self) -> WholeCar:
        return WholeCar(CarOfUnknowns(self.car, self.inputs))

    def _of_whole_car(self, place: ReadingPlace) -> tuple[float, Array]:
        """Heights and scales; the standing car's are numbers of its file."""
        axle, side = place.axle, place.side
        if axle is None or side is None:
            raise ValueError("a height or a scale is read of a wheel")
        if not place.aboard:
            path = f"{'heights' if place.what == 'height' else 'mass'}.{axle}_{side}"
            return self._number(path), np.array([float(one.path == path) for one in self.inputs])
        told = self._whole_car.height if place.what == "height" else self._whole_car.scale
        return told(axle, side, place.aboard)

    def _number(self, path: str) -> float:
        if self._points is None:
            self._points = {one.path: one.value for one in all_inputs(self.car)}
        if path not in self._points:
            places = {known.rpartition(".")[0] for known in self._points if known.endswith(".x")}
            place = path.rpartition(".")[0]
            raise InputError("The car file has no such pivot", found=f'"{place}"', todo=suggestion(place, places))
        return self._points[path]

    def _length(self, points: Sequence[str]) -> tuple[float, Array]:
        """Distance of two pivots; its slopes are the direction between them."""
        begin, end = (np.array([self._number(f"{point}.{name}") for name in COORDINATES]) for point in points)
        size = float(np.linalg.norm(end - begin))
        if not size > 0:
            raise InputError("Both pivots lie in one place", found=", ".join(points), todo="Name two that lie apart.")
        way = (end - begin) / size
        by_path = {f"{points[1]}.{name}": way[k] for k, name in enumerate(COORDINATES)}
        by_path |= {f"{points[0]}.{name}": -way[k] for k, name in enumerate(COORDINATES)}
        return size, np.array([float(by_path.get(one.path, 0.0)) for one in self.inputs])
