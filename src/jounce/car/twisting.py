"""What twists between the two sides of an axle: anti-roll bars, inner bar, cross-member, tube."""

from __future__ import annotations

import numpy as np

from jounce.car.axle import Axle
from jounce.car.given import ROLL_BARS, coordinates, number
from jounce.car.model import AxleName, Group
from jounce.car.parts import CrossMember, InnerBar, RollBar
from jounce.car.springs import in_series, torsion_bar
from jounce.elements.law import Linear
from jounce.elements.roll_bar import StraightArmBar
from jounce.layouts.naming import named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array
from jounce.numerics.perturbation import size


def twisting_parts(section: Axle, axle: AxleName) -> tuple[dict[str, Element], dict[str, Group]]:
    """Anti-roll bars, inner bar, cross-member and twisting tube, free of load as found."""
    elements: dict[str, Element] = {}
    groups: dict[str, Group] = {}
    for name in ROLL_BARS:
        bar: RollBar | None = getattr(section.left, name, None)
        if bar is not None:
            measure = named(axle, f"{name}_twist")
            elements[measure] = Element(measure, Linear(_roll_bar_rate(bar)))
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
        found.append(("inner_bar", in_series(torsion_bar(bar).rate, bar.series_rate), "inner bar"))
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


def _roll_bar_rate(bar: RollBar) -> Array:
    """Torque per angle between the arms, links in series where their rate is given [N m/rad]."""
    end, bend, bush = (coordinates(getattr(bar, name)) for name in ("arm_end", "bend", "bush"))
    lever = np.sqrt((end[..., 0] - bend[..., 0]) ** 2 + (end[..., 2] - bend[..., 2]) ** 2)
    straight = StraightArmBar(
        diameter=number(bar.diameter),
        lever=lever,
        arm_across=size(end[..., 1] - bend[..., 1]),
        bend_to_bush=size(bend[..., 1] - bush[..., 1]),
        bush_to_middle=size(bush[..., 1]),
        inner_diameter=number(bar.inner_diameter),
        youngs_modulus=number(bar.youngs_modulus),
        poisson=number(bar.poisson_ratio),
    )
    if bar.link_rate is None:
        return straight.twist_rate
    end_rate = 1 / (straight.end_compliance + 1 / number(bar.link_rate))
    return np.asarray(end_rate * lever**2 / 2)
