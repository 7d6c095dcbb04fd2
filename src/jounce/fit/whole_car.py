"""Heights, scale readings and roll of the whole car with something aboard, and what every input does to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jounce.behaviour.axle.static import loaded
from jounce.behaviour.bands import CarVariants, RestPlace, Slopes
from jounce.behaviour.road.corner import LINEAR_TO
from jounce.behaviour.road.equilibrium import at_rest
from jounce.behaviour.road.forces import ROLL, ForceState
from jounce.behaviour.road.loading import steady
from jounce.behaviour.road.of_document import aboard
from jounce.car.file.document import CarDocument
from jounce.car.file.inputs import InputRef
from jounce.car.file.variants import varied
from jounce.car.mechanics.assembly import axle_model
from jounce.car.mechanics.model import AXLES, AxleModel, AxleName
from jounce.conventions.axes import End, Side
from jounce.conventions.constants import GRAVITY
from jounce.conventions.errors import Impossible
from jounce.conventions.units import Kind, show
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array

__all__ = ["CarOfUnknowns", "WholeCar"]

Aboard = tuple[tuple[str, float | None], ...]


@dataclass(frozen=True, slots=True)
class CarOfUnknowns:
    """A car as it was measured, varied by some of its numbers; its springs carry what was weighed.

    Attributes:
        document: the car
        inputs: the numbers that vary, with the values that they have in the document

    """

    document: CarDocument
    inputs: Sequence[InputRef]

    @property
    def every_input(self) -> Sequence[InputRef]:
        """Those that vary."""
        return self.inputs

    def varied(self, inputs: Sequence[InputRef], changes: Array) -> CarVariants:
        """Variants, as of `jounce.behaviour.bands.VariedCar`."""
        return CarOfUnknowns(varied(self.document, inputs, changes), inputs)

    def axle(self, name: AxleName) -> AxleModel:
        """An axle complete with its main springs."""
        return loaded(axle_model(self.document, name))[0]


class WholeCar:
    """The car on its wheels with loads aboard.

    Args:
        car: the car and its unknowns

    """

    def __init__(self, car: CarOfUnknowns) -> None:
        self._car = car
        self._slopes = Slopes(car, RestPlace(np.zeros(7), {}))
        self._kept: dict[tuple[Aboard, float], tuple[Mapping[str, float], Mapping[str, Array]]] = {}

    def height(self, axle: AxleName, side: SideName, loads: Aboard) -> tuple[float, Array]:
        """Wheel centre to arch [m], and its slopes by the unknowns, shape (unknowns,).

        Args:
            axle: which axle
            side: which wheel
            loads: what is aboard

        Raises:
            Impossible: the car does not come to rest
        """
        values, slopes = self._at(loads)
        name, path = f"{axle}.{side}.travel", f"heights.{axle}_{side}"
        own = np.array([float(one.path == path) for one in self._car.inputs])
        found = self._car.document.heights.corner(End(axle), Side(side)).value
        return float(found) - values[name], own - slopes[name]

    def scale(self, axle: AxleName, side: SideName, loads: Aboard) -> tuple[float, Array]:
        """What the scale under a wheel shows [kg], and its slopes by the unknowns, shape (unknowns,).

        Args:
            axle: which axle
            side: which wheel
            loads: what is aboard

        Raises:
            Impossible: the car does not come to rest
        """
        values, slopes = self._at(loads)
        name = f"{axle}.{side}.load"
        return values[name] / GRAVITY, slopes[name] / GRAVITY

    def roll_gradient(self, loads: Aboard) -> tuple[float, Array]:
        """Roll of the body out of a turn per lateral acceleration [rad/(m/s²)], slopes by the unknowns, (unknowns,).

        The mean of both turns from straight ahead to 4 m/s², tyres included, as `jounce.behaviour.road.feel` tells each.

        Args:
            loads: what is aboard

        Raises:
            Impossible: the car does not come to rest in such a turn
        """
        (left, by_left), (right, by_right) = (self._at(loads, turn * LINEAR_TO) for turn in (1.0, -1.0))
        across = 2 * LINEAR_TO
        return (left["roll"] - right["roll"]) / across, (by_left["roll"] - by_right["roll"]) / across

    def _at(self, loads: Aboard, across: float = 0.0) -> tuple[Mapping[str, float], Mapping[str, Array]]:
        if (loads, across) not in self._kept:
            masses, acting = aboard(self._car.document, dict(loads)), steady(across)
            rest = at_rest(self._slopes.on_road.with_loads(masses), acting)
            if not rest.reached[0]:
                where = f"in a turn of {show(abs(across), Kind.ACCELERATION)}" if across else "with what is aboard"
                raise Impossible(f"The car does not come to rest {where}: a spring may be far too soft or loose.")
            slopes = self._slopes.about(rest.freedoms[0], acting, _told, masses).results
            values = {name: float(np.real(value[0])) for name, value in _told(rest.freedoms, rest.acted).items()}
            self._kept[loads, across] = (values, slopes)
        return self._kept[loads, across]


def _told(freedoms: Array, found: ForceState) -> dict[str, Array]:
    """Travel and load of each wheel, and the body's roll."""
    corners = [(k, i, f"{axle}.{side}") for k, axle in enumerate(AXLES) for i, side in enumerate(SIDES)]
    travels = {f"{name}.travel": freedoms[:, 3 + 2 * k + i] for k, i, name in corners}
    loads = {f"{name}.load": found.load[:, k, i] for k, i, name in corners}
    return {"roll": freedoms[:, ROLL], **travels, **loads}
