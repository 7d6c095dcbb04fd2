"""Main springs of an axle: the sections of its document as what carries each corner."""

from __future__ import annotations

from typing import Any

from jounce.car.axle import Axle
from jounce.car.given import SIDE_OF, number, spring_kind
from jounce.car.model import MainSpring
from jounce.car.parts import InnerBar, Spring
from jounce.car.parts import TorsionBar as TorsionBarSection
from jounce.car.quantity import Measured
from jounce.elements.coil import helical_rate
from jounce.elements.torsion_bar import TorsionBar
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
            rate = in_series(torsion_bar(one.torsion_bar).rate, one.torsion_bar.series_rate)
            springs[side] = MainSpring(kind, measure, 1.0, rate, captive=True)
        elif kind == "leaf":
            springs[side] = MainSpring(kind, measure, -1.0, number(one.leaf.rate), captive=True)
        else:
            springs[side] = MainSpring(kind, measure, -1.0, coil_rate(one.spring), captive=False)
    return springs


def torsion_bar(bar: TorsionBarSection | InnerBar) -> TorsionBar:
    """A torsion bar's section of the document as an element."""
    return TorsionBar(
        number(bar.diameter), number(bar.active_length), number(bar.shear_modulus), number(bar.inner_diameter)
    )


def coil_rate(spring: Spring) -> Array:
    """Rate of a coil, given or from its wire [N/m]."""
    if spring.rate is not None:
        return number(spring.rate)
    if spring.wire is None or spring.mean_diameter is None or spring.active_turns is None:
        raise ValueError("the document accepts no spring without a rate or its wire")
    return helical_rate(
        number(spring.shear_modulus), number(spring.wire), number(spring.mean_diameter), number(spring.active_turns)
    )


def in_series(rate: Array, more: Measured | None) -> Array:
    """A rate with what gives besides it in series; the rate itself where nothing else is known to give."""
    return rate if more is None else 1 / (1 / rate + 1 / number(more))
