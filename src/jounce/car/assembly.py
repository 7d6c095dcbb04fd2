"""From a car document to mechanics: pivots become an axle on its stand, parts become elements."""

from __future__ import annotations

from typing import Any

import numpy as np

from jounce.car.axle import Axle
from jounce.car.document import CarDocument
from jounce.car.given import ROLL_BARS, SIDE_OF, axle_given, coordinates, number, spring_kind
from jounce.car.model import AxleModel, AxleName, Group, MainSpring, weight
from jounce.car.parts import CrossMember, InnerBar, RollBar, Spring
from jounce.car.parts import TorsionBar as TorsionBarSection
from jounce.car.quantity import Measured
from jounce.car.stops import damper_elements, stops_of
from jounce.conventions.axes import End
from jounce.elements.coil import helical_rate
from jounce.elements.law import Linear
from jounce.elements.roll_bar import StraightArmBar
from jounce.elements.torsion_bar import TorsionBar
from jounce.layouts.axle import CAR_BODY, AxleLinkage, Setting, on_the_stand, road_body
from jounce.layouts.builder import laid_out
from jounce.layouts.naming import SIDES, SideName, named
from jounce.linkage.balance import Element
from jounce.numerics.arrays import Array
from jounce.numerics.perturbation import size


def axle_model(document: CarDocument, axle: AxleName) -> AxleModel:
    """One axle of a car on its stand, main springs not yet loaded.

    Args:
        document: the car as measured
        axle: "front" or "rear"

    Returns:
        The axle with all laws that do not depend on the weighing.
    """
    end = End.FRONT if axle == "front" else End.REAR
    section = document.axle(end)
    linkage = axle_linkage(section, Setting(axle, road=road_body(axle)))
    stand = on_the_stand(linkage)
    lengths = {side: stand.reference_values([named(axle, side, "damper")])[:, 0] for side in SIDES}
    elements, groups = _twisting_parts(section, axle)
    extra, more = damper_elements(section, axle, lengths)
    return AxleModel(
        name=axle,
        layout=section.layout,
        linkage=linkage,
        stand=stand,
        on_car=axle_linkage(section, Setting(axle, CAR_BODY)),
        main=_main_springs(section, linkage),
        elements=elements | extra,
        groups=groups | more,
        corner_load={side: weight(number(document.mass.corner(end, SIDE_OF[side]))) for side in SIDES},
        unsprung=dict.fromkeys(SIDES, number(document.mass.unsprung(end))),
        tyre_rate={side: number(section.side(SIDE_OF[side]).wheel.tyre_rate) for side in SIDES},
        stops=stops_of(section, lengths),
    )


def axle_linkage(section: Axle, setting: Setting) -> AxleLinkage:
    """Bodies, joints and measures of an axle.

    Args:
        section: the axle's part of the document
        setting: its name, the body that carries it, the road

    """
    return laid_out(section.as_layout().build, setting, axle_given(section, setting.axle))


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


def _main_springs(section: Axle, linkage: AxleLinkage) -> dict[SideName, MainSpring]:
    kind = spring_kind(section)
    springs: dict[SideName, MainSpring] = {}
    for side in SIDES:
        one: Any = section.side(SIDE_OF[side])
        measure = linkage.springs[side]
        if kind == "torsion bar":
            rate = _in_series(torsion_bar(one.torsion_bar).rate, one.torsion_bar.series_rate)
            springs[side] = MainSpring(kind, measure, 1.0, rate, captive=True)
        elif kind == "leaf":
            springs[side] = MainSpring(kind, measure, -1.0, number(one.leaf.rate), captive=True)
        else:
            springs[side] = MainSpring(kind, measure, -1.0, coil_rate(one.spring), captive=False)
    return springs


def _twisting_parts(section: Axle, axle: AxleName) -> tuple[dict[str, Element], dict[str, Group]]:
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
        found.append(("inner_bar", _in_series(torsion_bar(bar).rate, bar.series_rate), "inner bar"))
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


def _in_series(rate: Array, more: Measured | None) -> Array:
    return rate if more is None else 1 / (1 / rate + 1 / number(more))
