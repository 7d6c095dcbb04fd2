"""A car as mechanics: what `assembly` makes of a car document and what `behaviour` works on.

All numbers are SI arrays with the variants of the car along the first axis: one variant for the car as measured, more
where the effect of every measurement's uncertainty is followed through the whole calculation at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from jounce.car.mechanics.coil_stack import CoilStack
from jounce.conventions.constants import GRAVITY
from jounce.elements.law import Linear, OneSided, SpringLaw
from jounce.elements.tyres.tyre import Tyre, VerticalTyre
from jounce.layouts.axle import AxleLinkage
from jounce.layouts.axle_input import SpringKind
from jounce.layouts.naming import SideName
from jounce.linkage.balance import Element
from jounce.linkage.mechanism import Mechanism
from jounce.numerics.arrays import Array

AxleName = Literal["front", "rear"]
AXLES: tuple[AxleName, AxleName] = ("front", "rear")

Group = Literal[
    "main spring",
    "anti-roll bar",
    "inner bar",
    "cross-member",
    "tube",
    "bump stop",
    "droop stop",
    "gas force",
    "damper end",
]


@dataclass(frozen=True, slots=True)
class MainSpring:
    """The spring that carries one corner: a torsion bar, a coil or a leaf.

    ``measure`` grows (sense +1, a bar's twist) or falls (sense -1, a coil's length) as the spring is loaded; ``law`` is
    what it pushes over its displacement from slack [rad or m]. A captive spring (a bar fixed at both ends) is linear and
    pushes back when it is turned past slack, a loose one (a coil between two seats) does not. ``stack`` tells a coil
    spring's members.
    """

    kind: SpringKind
    measure: str
    sense: float
    law: SpringLaw
    captive: bool
    stack: CoilStack | None = None

    @property
    def can_leave_its_seat(self) -> bool:
        """Whether it can fall out, or turn in its lever, where it carries nothing: a leaf is clamped, and hung by eyes."""
        return self.kind != "leaf"

    @property
    def rate(self) -> Array:
        """Rate of a spring that has but one [N m/rad or N/m].

        Raises:
            TypeError: the rate changes over the spring's displacement
        """
        if not isinstance(self.law, (Linear, OneSided)):
            raise TypeError(f"a spring with a law of kind {type(self.law).__name__} has not one rate")
        return np.atleast_1d(self.law.rate)


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

    ``stand`` is the axle on a body held still;
    ``elements`` are the laws known without weighing the car, each in a
    ``groups`` entry; ``corner_load`` is the weight under each wheel [N], ``unsprung`` the part of it that moves with
    the wheel [kg], ``tyre_rate`` the tyre's vertical rate as found [N/m]. ``bent_tyres`` are
    those whose rate changes with the load.
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
    bent_tyres: Mapping[SideName, VerticalTyre] = field(default_factory=dict)

    def tyre(self, side: SideName) -> VerticalTyre:
        """The tyre of one side as a vertical spring."""
        return self.bent_tyres.get(side) or Tyre(self.tyre_rate[side])

    def with_elements(self, more: Mapping[str, Element]) -> AxleModel:
        """The same axle with further laws (the main springs once their preload is known)."""
        return replace(self, elements={**self.elements, **more})


def weight(mass: Array) -> Array:
    """Weight of a mass [N]."""
    return mass * GRAVITY
