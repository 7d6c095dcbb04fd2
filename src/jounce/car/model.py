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
from jounce.layouts.description import SpringKind
from jounce.layouts.naming import SideName
from jounce.linkage.balance import Element
from jounce.linkage.mechanism import Mechanism
from jounce.numerics.arrays import Array

AxleName = Literal["front", "rear"]
AXLES: tuple[AxleName, AxleName] = ("front", "rear")

Group = Literal["main spring", "anti-roll bar", "inner bar", "cross-member", "tube", "bump stop", "gas force"]


@dataclass(frozen=True, slots=True)
class MainSpring:
    """The spring that carries one corner: a torsion bar, a coil or a leaf.

    ``measure`` grows (sense +1, a bar's twist) or falls (sense -1, a coil's length) as the spring is loaded; ``rate``
    is N m/rad or N/m. A captive spring (a bar fixed at both ends) pushes back when it is turned past slack, a loose
    one (a coil between two seats) does not.
    """

    kind: SpringKind
    measure: str
    sense: float
    rate: Array
    captive: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """Something that ends a wheel's travel or must not be passed.

    ``sense * (quantity - limit) > 0`` is beyond it, with the quantity a column of the travel table of that side [m or
    rad]. ``at`` is bump or droop; ``hard`` says that the wheel cannot go on (metal to metal, rubber solid).
    """

    name: str
    side: SideName
    at: Literal["bump", "droop"]
    quantity: str
    sense: float
    limit: float | Array
    hard: bool


@dataclass(frozen=True, slots=True)
class AxleModel:
    """One axle of the car.

    ``stand`` is the axle on a body held still, ``on_car`` the same axle laid out on the car's moving body;
    ``elements`` are the laws known without weighing the car, each in a
    ``groups`` entry; ``corner_load`` is the weight under each wheel [N], ``unsprung`` the part of it that moves with
    the wheel [kg], ``tyre_rate`` the tyre's vertical rate [N/m].
    """

    name: AxleName
    layout: str
    linkage: AxleLinkage
    stand: Mechanism
    on_car: AxleLinkage
    main: Mapping[SideName, MainSpring]
    elements: Mapping[str, Element]
    groups: Mapping[str, Group]
    corner_load: Mapping[SideName, Array]
    unsprung: Mapping[SideName, Array]
    tyre_rate: Mapping[SideName, Array]
    stops: tuple[Stop, ...]

    def with_elements(self, more: Mapping[str, Element]) -> AxleModel:
        """The same axle with further laws (the main springs once their preload is known)."""
        return replace(self, elements={**self.elements, **more})


def weight(mass: Array) -> Array:
    """Weight of a mass [N]."""
    return mass * GRAVITY
