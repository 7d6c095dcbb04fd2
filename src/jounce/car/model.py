"""A car as mechanics: what `assembly` makes of a car document and what `behaviour` works on.

All numbers are SI arrays with the variants of the car along the first axis: one variant for the car as measured, more
where the effect of every measurement's uncertainty is followed through the whole calculation at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from jounce.conventions.constants import GRAVITY
from jounce.layouts.axle import AxleLinkage
from jounce.layouts.naming import SideName
from jounce.linkage.balance import Element
from jounce.linkage.mechanism import Mechanism
from jounce.numerics.arrays import Array

AxleName = Literal["front", "rear"]
AXLES: tuple[AxleName, AxleName] = ("front", "rear")

Group = Literal["main spring", "anti-roll bar", "inner bar", "bump stop", "gas force"]


@dataclass(frozen=True, slots=True)
class MainSpring:
    """The spring that carries one corner: a torsion bar or a coil.

    ``measure`` grows (sense +1, a bar's twist) or falls (sense -1, a coil's length) as the spring is loaded; ``rate``
    is N m/rad or N/m. A captive spring (a bar fixed at both ends) pushes back when it is turned past slack, a loose
    one (a coil between two seats) does not.
    """

    kind: Literal["torsion bar", "coil"]
    measure: str
    sense: float
    rate: Array
    captive: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """Something that ends a wheel's travel, or must not be passed: ``sense * (measure - limit) > 0`` is beyond it.

    ``at`` is bump or droop, ``hard`` says that the wheel cannot go on (metal to metal), ``reason`` is the plain
    sentence. A measure named ``shaft_angle`` or ``shaft_plunge`` is taken from the drive shaft.
    """

    name: str
    side: SideName
    at: Literal["bump", "droop"]
    measure: str
    sense: float
    limit: Array
    hard: bool
    reason: str


@dataclass(frozen=True, slots=True)
class AxleModel:
    """One axle of the car.

    ``stand`` is the axle on a body held still; ``elements`` are the laws known without weighing the car, each in a
    ``groups`` entry; ``corner_load`` is the weight under each wheel [N], ``unsprung`` the part of it that moves with
    the wheel [kg], ``tyre_rate`` the tyre's vertical rate [N/m].
    """

    name: AxleName
    layout: str
    linkage: AxleLinkage
    stand: Mechanism
    main: Mapping[SideName, MainSpring]
    elements: Mapping[str, Element]
    groups: Mapping[str, Group]
    corner_load: Mapping[SideName, Array]
    unsprung: Mapping[SideName, Array]
    tyre_rate: Mapping[SideName, Array]
    stops: tuple[Stop, ...]
    unknown: tuple[str, ...] = ()

    def with_elements(self, more: Mapping[str, Element]) -> AxleModel:
        """The same axle with further laws (the main springs once their preload is known)."""
        return replace(self, elements={**self.elements, **more})


@dataclass(frozen=True, slots=True)
class Masses:
    """The whole car as weighed: mass [kg] and centre of gravity in car axes, shape (variants, 3) [m]; sprung likewise."""

    total: Array
    centre: Array
    sprung: Array
    sprung_centre: Array


@dataclass(frozen=True, slots=True)
class CarModel:
    """Both axles, the masses, the wheel-centre-to-arch heights as measured [m] and the whole car as one mechanism."""

    front: AxleModel
    rear: AxleModel
    masses: Masses
    heights: Mapping[str, Array]
    wheelbase: Array
    whole: Mechanism
    variants: int

    def axle(self, name: AxleName) -> AxleModel:
        """Front or rear axle."""
        return self.front if name == "front" else self.rear

    @property
    def axles(self) -> tuple[AxleModel, AxleModel]:
        """Front, then rear."""
        return (self.front, self.rear)


def weight(mass: Array) -> Array:
    """Weight of a mass [N]."""
    return mass * GRAVITY
