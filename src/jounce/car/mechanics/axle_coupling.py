"""What twists between the two sides of an axle: anti-roll bars, inner bar, cross-member, tube."""

from __future__ import annotations

from jounce.car.axles.axle import Axle
from jounce.car.mechanics.anti_roll_bars import fitted_bar
from jounce.car.mechanics.layout_input import ANTI_ROLL_BARS, number
from jounce.car.mechanics.model import AxleName, Group
from jounce.car.mechanics.torsion_bars import inner_bar_in_series
from jounce.car.parts import AntiRollBar, CrossMember, InnerBar
from jounce.elements.law import Linear
from jounce.layouts.naming import named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array


def twisting_parts(section: Axle, axle: AxleName) -> tuple[dict[str, Element], dict[str, Group]]:
    """Anti-roll bars, inner bar, cross-member and twisting tube; free of load as found but for bars with uneven links."""
    elements: dict[str, Element] = {}
    groups: dict[str, Group] = {}
    for name in ANTI_ROLL_BARS:
        bar: AntiRollBar | None = getattr(section.left, name, None)
        if bar is not None:
            measure = named(axle, f"{name}_twist")
            fitted = fitted_bar(bar, getattr(section.right, name))
            # The twist that the links' lengths give the bar as found is part of its displacement.
            elements[measure] = Element(measure, fitted.law, zero=-fitted.twist)
            groups[measure] = "anti-roll bar"
    for name, rate, group in _twist_rates(section):
        elements[named(axle, name)] = Element(named(axle, "inner_bar_twist"), Linear(rate))
        groups[named(axle, name)] = group
    return elements, groups


def _twist_rates(section: Axle) -> list[tuple[str, Array, Group]]:
    """Name, torsional rate [N m/rad] and group of what twists between the two sides of an axle."""
    found: list[tuple[str, Array, Group]] = []
    bar: InnerBar | None = getattr(section, "inner_bar", None)
    if bar is not None:
        found.append(("inner_bar", inner_bar_in_series(bar).rate, "inner bar"))
    member: CrossMember | None = getattr(section, "cross_member", None)
    if member is not None:
        found.append(("cross_member", _cross_member_rate(member), "cross-member"))
    beam = getattr(section, "beam", None)
    if beam is not None and beam.turning_side == "neither" and getattr(beam, "tube_rate", None) is not None:
        found.append(("tube", number(beam.tube_rate), "tube"))
    return found


def _cross_member_rate(member: CrossMember) -> Array:
    """Torsional rate of an open section, given or ``G J / L`` [N m/rad]."""
    if member.rate is not None:
        return number(member.rate)
    if member.torsion_constant is None or member.length is None:
        raise ValueError("the document accepts no cross-member without a rate or its section")
    return number(member.shear_modulus) * number(member.torsion_constant) / number(member.length)
