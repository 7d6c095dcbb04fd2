"""Main springs of an axle: the sections of its document as what carries each corner."""

from __future__ import annotations

from typing import Any

import numpy as np

from jounce.car.axles.axle import Axle
from jounce.car.mechanics.coil_stack import coil_stack
from jounce.car.mechanics.layout_input import SIDE_OF, number, spring_kind
from jounce.car.mechanics.model import MainSpring
from jounce.car.mechanics.torsion_bars import bar_in_series
from jounce.conventions.axes import Side, mirrored
from jounce.elements.law import Linear
from jounce.layouts.axle import AxleLinkage
from jounce.layouts.naming import SIDES, SideName
from jounce.numerics.arrays import Array


def main_springs(section: Axle, linkage: AxleLinkage) -> dict[SideName, MainSpring]:
    """The spring of each side, not yet loaded."""
    kind = spring_kind(section)
    springs: dict[SideName, MainSpring] = {}
    for side in SIDES:
        one: Any = section.side(SIDE_OF[side])
        measure = linkage.springs[side]
        if kind == "torsion bar":
            law = Linear(bar_in_series(one.torsion_bar).rate)
            springs[side] = MainSpring(kind, measure, 1.0, law, captive=True)
        elif kind == "leaf":
            springs[side] = MainSpring(kind, measure, -1.0, Linear(number(one.leaf.rate)), captive=True)
        else:
            stack = coil_stack(one.spring)
            springs[side] = MainSpring(kind, measure, -1.0, stack.law, captive=False, stack=stack)
    return springs


def seat_normals(section: Axle) -> dict[SideName, Array]:
    """Normals of the coils' lower seats as found, where they are given: unit vectors, body frame [-].

    A direction written for both sides is that of the left one and mirrored for the right.
    """
    normals: dict[SideName, Array] = {}
    for side in SIDES:
        which = SIDE_OF[side]
        spring = getattr(section.side(which), "spring", None)
        if spring is None or spring.seat_normal is None:
            continue
        shared = section.place_of(which, "spring", "seat_normal")[0] == "spring"
        given = mirrored(spring.seat_normal) if shared and which is Side.RIGHT else spring.seat_normal
        normals[side] = np.array(given)
    return normals
